import type { Check, Guide } from '../../guide/types.ts';
import type { Prompt } from '../../ports/prompt.ts';

/** Orders that every face gives in the same words. */
export const orders = {
  lift: 'Lift the tips.',
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

/**
 * Returns what a prompt of a job asks for, as lines for a person; the first one says what it is
 * about.
 *
 * @param guide the guide of the job, for titles, places and the author's own words
 */
export function promptLines(prompt: Prompt, guide: Guide): string[] {
  const check = guide.checks.find(({ id }) => id === prompt.check);
  switch (prompt.act) {
    case 'touch':
    case 'press':
      return check === undefined ? [] : touchLines(guide, check);
    case 'flex':
      return [`Keep the tips on, and flex and tap the device for ${holdText(check)}.`];
    case 'lift':
      return [prompt.why === 'live' ? orders.live : orders.lift];
    case 'short-tips':
      return [`Prove the probe. ${orders.tipsTogether}`];
    case 'wait':
      return waitLines(prompt);
    case 'power':
      return [prompt.power === 'on' ? orders.powerOn : orders.powerOff];
    case 'answer':
      return answerLines(prompt, guide, check);
    case 'choose':
      return [
        'What is to be done about it?',
        ...(prompt.options ?? []).map((id, i) => `repair ${i + 1}: ${repairName(guide, id)}`),
        'none: close the job without a repair',
      ];
    case 'repair':
      return [
        `Repair: ${repairName(guide, prompt.repair)}`,
        `First: ${lowered(orders.powerOff)}`,
        'Is it done (yes or no)?',
      ];
  }
}

function waitLines({ why, told }: Prompt): string[] {
  if (why === 'light') return [...toldLines(told), orders.lightSensor];
  if (why === 'standing') return [orders.liftFirst];
  return [`Prove the probe. It measures its built-in check resistor. ${orders.tipsOff}`];
}

function answerLines({ caution: id, question, told }: Prompt, guide: Guide, check: Check | undefined): string[] {
  const caution = guide.cautions.find((one) => one.id === id);
  if (caution !== undefined) return [`Caution ${id}: ${caution.title}`, caution.text, 'Understood (yes or no)?'];
  const asked = `${question ?? ''} (yes, no or unsure)`;
  if (told !== undefined) return [...toldLines(told), 'If it did so before, say unsure.', asked];
  return check === undefined ? [asked] : [check.title, check.prompt, asked];
}

/** What the probe has found before it asks, as a sentence. */
function toldLines(told: string | undefined): string[] {
  return told === undefined ? [] : [`${told.charAt(0).toUpperCase()}${told.slice(1)}.`];
}

/**
 * What to touch: state of the device, the author's words, where each pad is, and what happens while
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
  return [check.title, state, check.prompt, ...pads, ...dwellLines(check), ...stayLines(check)];
}

function dwellLines({ dwellMs }: Check): string[] {
  return dwellMs === undefined ? [] : [`Hold still for ${dwellMs / 1000} s.`];
}

function stayLines(check: Check): string[] {
  switch (check.kind) {
    case 'bridge':
      return [`Stay on: the probe itself joins the pads for ${check.durationMs} ms. Watch the device.`];
    case 'dry-normal':
      return ['Stay on until both levels are read.'];
    case 'steady':
      return [`Stay on: once it has settled, the device is flexed for ${holdText(check)}.`];
    case 'resistance':
    case 'voltage':
    case 'presses':
    case 'look':
      return [];
  }
}

function holdText(check: Check | undefined): string {
  return check?.kind === 'steady' ? `${check.holdMs / 1000} s` : 'a few seconds';
}

function repairName(guide: Guide, id: string | undefined): string {
  return guide.repairs.find((repair) => repair.id === id)?.name ?? id ?? '';
}

function lowered(text: string): string {
  return `${text.charAt(0).toLowerCase()}${text.slice(1)}`;
}
