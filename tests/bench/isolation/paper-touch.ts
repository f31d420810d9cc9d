import type { Random } from '../../../sim/random.ts';
import { probeEndOhm } from '../../../src/checks/circuit-reading.ts';
import type { Evidence, Measured } from '../../../src/checks/evidence.ts';
import type { Check, Guide, Limits } from '../../../src/guide/types.ts';
import type { Found, PaperDevice } from './paper-device.ts';

/** What one attempt at a check came to. */
export interface Touch {
  /** Null: it says nothing, as two levels of which one did not settle. */
  evidence: Evidence | null;
  outcome: 'pass' | 'fail' | 'borderline' | 'unsteady';
}

/** What makes the hands and eyes of the bench err; all 0 for a bench that never does. */
export interface Hands {
  /** Chance that a touch of a sound path wanders. */
  unsteady: number;
  /** Chances that eyes miss what is there, and see what is not. */
  miss: number;
  falseAlarm: number;
}

export const usualHands: Hands = { unsteady: 0.01, miss: 0.02, falseAlarm: 0.02 };
export const surestHands: Hands = { unsteady: 0, miss: 0, falseAlarm: 0 };

/** A touch is never twice the same: relative standard deviation of ohms (common practice, no source). */
const touchSpread = 0.01;
/** The probe's standard uncertainty: a few milliohms and half a per cent; some millivolts and 0.3 % (as a calibrated probe states them). */
const probeOhm = { floor: 0.003, relative: 0.005 };
const probeVolt = { floor: 0.003, relative: 0.003 };
/** Coverage factor of the guarded decision. */
const guard = 2;
/** A instability contact's reading is off by so much in ln ohm. */
const instability = 0.4;

/** Does a check once on a device on paper, with noise of its own. */
export function touch(guide: Guide, device: PaperDevice, check: Check, hands: Hands, random: Random): Touch {
  switch (check.kind) {
    case 'resistance':
    case 'steady':
    case 'voltage':
      return readingTouch(device, check, hands, random);
    case 'dry-normal':
      return levelsTouch(device, check, random);
    case 'presses':
      return pressesTouch(device, check, random);
    case 'look':
      return lookTouch(device, check, hands, random);
    case 'bridge':
      return bridgeTouch(guide, device, check, hands, random);
  }
}

function readOhm(ohm: number, random: Random): Measured {
  const touched = ohm * Math.exp(touchSpread * random.normal()) + 0.001 * random.normal();
  const u = Math.hypot(probeOhm.floor, probeOhm.relative * touched * (touched > 1e6 ? 2 : 1));
  const value = Math.max(0, touched + u * random.normal());
  if (!(value < probeEndOhm)) return { value: probeEndOhm, u: 0, state: 'above-range' };
  return { value, u, state: 'in-range' };
}

function readVolt(volt: number, random: Random): Measured {
  const u = Math.hypot(probeVolt.floor, probeVolt.relative * volt);
  return { value: volt + u * random.normal(), u, state: 'in-range' };
}

function judge({ value, u, state }: Measured, { min, max }: Limits): 'pass' | 'fail' | 'borderline' {
  if (state === 'above-range') return max === undefined ? 'pass' : 'fail';
  const [low, high] = [value - guard * u, value + guard * u];
  if ((min !== undefined && high < min) || (max !== undefined && low > max)) return 'fail';
  return (min === undefined || low >= min) && (max === undefined || high <= max) ? 'pass' : 'borderline';
}

type ReadingCheck = Check & { kind: 'resistance' | 'steady' | 'voltage' };

function foundBy(check: ReadingCheck | (Check & { kind: 'dry-normal' | 'bridge' })): Found {
  const level = 'level' in check ? check.level : 'normal';
  return { power: check.power, pressed: check.pressed, access: check.access, level };
}

function readingTouch(device: PaperDevice, check: ReadingCheck, hands: Hands, random: Random): Touch {
  const found = foundBy(check);
  const quantity = check.kind === 'voltage' ? 'voltage' : 'resistance';
  const isBad = random.uniform() < 0.15;
  const fault = device.unsteady(found, check.pads);
  const chance = check.kind === 'steady' ? 1 - (1 - fault) ** 2.5 : fault;
  const unsteady = random.uniform() < Math.max(hands.unsteady, chance);
  const how = { ...found, isLooseOpen: unsteady ? random.uniform() < 0.5 : isBad };
  const read = (): Measured => {
    if (quantity === 'voltage') return readVolt(device.volt(how, check.pads), random);
    return readOhm(device.ohm(how, check.pads) * (unsteady ? Math.exp(instability * random.normal()) : 1), random);
  };
  const reading = read();
  return {
    evidence: { check: check.id, kind: check.kind, quantity, reading, unsteady },
    outcome: unsteady ? (check.kind === 'steady' ? 'fail' : 'unsteady') : judge(reading, check.limits),
  };
}

function levelsTouch(device: PaperDevice, check: Check & { kind: 'dry-normal' }, random: Random): Touch {
  const found = { ...foundBy(check), isLooseOpen: random.uniform() < 0.15 };
  if (random.uniform() < device.unsteady(found, check.pads)) return { evidence: null, outcome: 'unsteady' };
  const at = (level: 'dry' | 'normal'): Measured => readOhm(device.ohm({ ...found, level }, check.pads), random);
  const [dry, normal] = [at('dry'), at('normal')];
  const isFilm = dry.value - guard * dry.u > check.factor * (normal.value + guard * normal.u);
  const outcome = isFilm && normal.state === 'in-range' ? 'fail' : judge(normal, check.limits);
  return { evidence: { check: check.id, kind: 'dry-normal', dry, normal }, outcome };
}

function pressesTouch(device: PaperDevice, check: Check & { kind: 'presses' }, random: Random): Touch {
  const found: Found = { power: 'off', pressed: [check.key], access: check.access, level: check.level };
  const [down, up] = [device.ohm(found, check.pads), device.ohm({ ...found, pressed: [] }, check.pads)];
  const { id, count, maxBad, limits } = check;
  if (down > probeEndOhm / 10 || !(up > 10 * down)) {
    return { evidence: { check: id, kind: 'presses', closed: null, bad: count, count }, outcome: 'fail' };
  }
  const closed = readOhm(down, random);
  const isOutside = judge(closed, limits) === 'fail';
  // each specimen of a loose key fails in a share of its presses of its own
  const share = device.unsteady(found, check.pads) > 0 ? 0.1 + 0.5 * random.uniform() : 0;
  let bad = isOutside ? count : 0;
  for (let press = 0; press < count && !isOutside; press++) if (random.uniform() < share) bad++;
  return { evidence: { check: id, kind: 'presses', closed, bad, count }, outcome: bad > maxBad ? 'fail' : 'pass' };
}

function lookTouch(device: PaperDevice, check: Check & { kind: 'look' }, hands: Hands, random: Random): Touch {
  const isThere = check.sees.some(({ link, mode }) => device.has(link, mode));
  const isFail = random.uniform() < (isThere ? 1 - hands.miss : hands.falseAlarm);
  const other = check.passAnswer === 'yes' ? 'no' : 'yes';
  return {
    evidence: { check: check.id, kind: 'look', answer: isFail ? other : check.passAnswer },
    outcome: isFail ? 'fail' : 'pass',
  };
}

function bridgeTouch(
  guide: Guide,
  device: PaperDevice,
  check: Check & { kind: 'bridge' },
  hands: Hands,
  random: Random,
): Touch {
  const idle = readVolt(device.volt(foundBy(check), check.pads), random);
  const before = judge(idle, check.idle);
  const say = (proven: boolean, answer: 'yes' | 'no' | 'unsure', outcome: Touch['outcome']): Touch => ({
    evidence: { check: check.id, kind: 'bridge', proven, idle, answer },
    outcome,
  });
  if (before !== 'pass') return say(false, 'unsure', before);
  const { responds, leftVolt } = device.closed(check);
  if (Math.abs(leftVolt) >= check.collapse * Math.abs(idle.value)) return say(false, 'unsure', 'borderline');
  const err = check.answer === 'person' ? hands : surestHands;
  const isYes = guide.inputs.length > 0 && random.uniform() < (responds ? 1 - err.miss : err.falseAlarm);
  return say(true, isYes ? 'yes' : 'no', isYes ? 'pass' : 'fail');
}
