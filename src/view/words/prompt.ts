import type { Check, Guide } from '../../guide/types.ts';
import type { Prompt } from '../../ports/prompt.ts';
import { kindWordsOf } from '../kinds/registry.ts';
import { plainLine } from '../text/plain-line.ts';

/** Orders that every face gives in the same words. */
export const orders = {
  lift: 'Lift the tips.',
  tipsAway: 'Take the tips off what they are on.',
  liftFirst: 'The tips stand on something already: take them off it first.',
  live: 'Voltage on the tips. Lift them, switch the device off, disconnect its battery, let it discharge.',
  tipsTogether: 'Hold the two tips together.',
  tipsOff: 'Keep the tips off everything.',
  lightSensor: 'Keep the light sensor on the display.',
  powerOn: 'Switch the device on.',
  powerOff: 'Switch the device off and disconnect its battery.',
} as const;

/** Returns what a prompt of a calibration session asks for; `label` names the standard in hand. */
export function standardOrder({ act, why }: Pick<Prompt, 'act' | 'why'>, label: string): string {
  if (act === 'lift') return orders.lift;
  if (act === 'short-tips') return 'Hold the two tips together until the tone.';
  if (act === 'touch') return `Touch, and hold still until the tone: ${label}`;
  if (why === 'next-standard') return 'Type the next resistor, with its tolerance; or finish.';
  if (why === 'open') return 'Keep the tips off everything until the tone.';
  return `The probe reads its built-in check resistor. ${orders.tipsOff}`;
}

/** A prompt as far as its words need it. */
type Asked = Omit<Prompt, 'id'>;

/** What an act asks for, in its two forms. */
interface ActWords {
  /** One short sentence, to be seen from a metre; the face shows pads, power and texts of the guide beside it. */
  short(prompt: Asked, guide: Guide): string;
  /** Lines for a person; the first one says what it is about. */
  long(prompt: Asked, guide: Guide): string[];
}

const touch: ActWords['long'] = (prompt, guide) => {
  const check = checkOf(prompt, guide);
  return check === undefined ? [] : touchLines(guide, check);
};

/** Every act of a job in its short and its long form. */
const actWords: Record<Prompt['act'], ActWords> = {
  touch: {
    short: ({ held = [] }, guide) =>
      held.length === 0
        ? 'Touch the two pads.'
        : `Hold ${held.map((id) => keyName(guide, id)).join(' and ')}, touch both pads.`,
    long: touch,
  },
  press: { short: ({ key = '' }, guide) => `Press ${keyName(guide, key)} at each beep.`, long: touch },
  flex: {
    short: () => 'Keep the tips on; flex and tap.',
    long: (prompt, guide) => [`Keep the tips on, and flex and tap the device for ${flexText(checkOf(prompt, guide))}.`],
  },
  lift: {
    short: () => orders.lift,
    long: ({ why }) => [why === 'live' ? orders.live : orders.lift],
  },
  'short-tips': {
    short: () => orders.tipsTogether,
    long: () => [`Prove the probe. ${orders.tipsTogether}`],
  },
  wait: {
    short: ({ why }) => {
      if (why === 'light') return orders.lightSensor;
      return why === 'standing' ? orders.tipsAway : orders.tipsOff;
    },
    long: ({ why, told }) => {
      if (why === 'light') return [...toldLines(told), orders.lightSensor];
      if (why === 'standing') return [orders.liftFirst];
      return [`Prove the probe. It measures its built-in check resistor. ${orders.tipsOff}`];
    },
  },
  power: { short: powerOrder, long: (prompt) => [powerOrder(prompt)] },
  answer: {
    short: ({ caution, told }) => {
      if (caution !== undefined) return 'Read it.';
      return told === undefined ? 'Look, and answer.' : 'Closed: proven. Answer (button: long is no).';
    },
    long: answerLines,
  },
  choose: {
    short: () => 'Choose what is done about it.',
    long: ({ options = [] }, guide) => [
      'What is to be done about it?',
      ...options.map((id, i) => `repair ${i + 1}: ${repairName(guide, id)}`),
      'none: close the job without a repair',
    ],
  },
  repair: {
    short: () => 'Do the repair, then say so.',
    long: ({ repair }, guide) => [
      `Repair: ${repairName(guide, repair)}`,
      `First: ${lowered(orders.powerOff)}`,
      'Is it done (yes or no)?',
    ],
  },
};

/**
 * Returns what a prompt of a job asks for in one short sentence, for a face that shows pads and
 * power beside it.
 */
export function promptShort(prompt: Asked, guide: Guide): string {
  return actWords[prompt.act].short(prompt, guide);
}

/**
 * Returns what a prompt of a job asks for, as lines for a person; the first one says what it is
 * about.
 *
 * @param guide the guide of the job, for titles, places and the author's own words
 */
export function promptLines(prompt: Asked, guide: Guide): string[] {
  return actWords[prompt.act].long(prompt, guide);
}

function checkOf({ check }: Asked, guide: Guide): Check | undefined {
  return guide.checks.find(({ id }) => id === check);
}

function powerOrder({ power }: Asked): string {
  return power === 'on' ? orders.powerOn : orders.powerOff;
}

function answerLines(prompt: Asked, guide: Guide): string[] {
  const { caution: id, question, told } = prompt;
  const caution = guide.cautions.find((one) => one.id === id);
  if (caution !== undefined) return [`Caution ${id}: ${caution.title}`, caution.text, 'Understood (yes or no)?'];
  const asked = `${question ?? ''} (yes, no or unsure)`;
  if (told !== undefined) return [...toldLines(told), 'If it did so before, say unsure.', asked];
  const check = checkOf(prompt, guide);
  return check === undefined ? [asked] : [check.title, check.prompt, asked];
}

/** What the probe has found before it asks, as a sentence. */
function toldLines(told: string | undefined): string[] {
  return told === undefined ? [] : [`${told.charAt(0).toUpperCase()}${told.slice(1)}.`];
}

/**
 * Returns what to touch: state of the device, the author's words, where each pad is, and what happens while
 * the tips stay on.
 */
function touchLines(guide: Guide, check: Check): string[] {
  const access = guide.access.find(({ id }) => id === check.access);
  const place = (pad: string): string => {
    const where = guide.pads.find(({ id }) => id === pad)?.where ?? '';
    return where === '' ? pad : `${pad} (${where})`;
  };
  const pads = (check.pads ?? []).map((pad, i) => `Tip ${i === 0 ? 'A' : 'B'}: ${place(pad)}`);
  const state = `device ${check.power}${access === undefined ? '' : `, ${access.name}`}`;
  return [check.title, state, check.prompt, ...pads, ...kindWordsOf(check).stay(check)];
}

/** For how long the device is flexed. */
function flexText(check: Check | undefined): string {
  return check?.kind === 'steady' ? `${check.holdMs / 1000} s` : 'a few seconds';
}

function keyName(guide: Guide, id: string): string {
  return plainLine(guide.keys.find((key) => key.id === id)?.name ?? id);
}

function repairName(guide: Guide, id: string | undefined): string {
  return guide.repairs.find((repair) => repair.id === id)?.name ?? id ?? '';
}

function lowered(text: string): string {
  return `${text.charAt(0).toLowerCase()}${text.slice(1)}`;
}
