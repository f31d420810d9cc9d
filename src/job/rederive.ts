import { decide } from '../measure/decide.ts';
import { readWindow } from '../measure/read-window.ts';
import type { Calibration, CaptureWindow, Decision, Limits, Outcome, Reading, Rule } from '../measure/types.ts';
import { flagBits } from '../protocol/table.ts';
import type { EntryOf, StoredPress, StoredReading } from './entries.ts';

/** Evidence that does not bear out what its entry says. `code` is stable. */
export interface Discrepancy {
  code: 'derive.reading' | 'derive.outcome' | 'derive.p' | 'evidence.live' | 'evidence.level' | 'evidence.unseated';
  what: string;
}

/** What working an entry out again came to: `derived` outcomes follow from raw codes or an answer, `withheld` ones claim nothing. */
export interface Rederivation {
  discrepancies: Discrepancy[];
  derived: number;
  withheld: number;
}

/** Two computations of one number on different machines may differ in the last digits (exp, log, hypot). */
const relativeTolerance = 1e-9;

/** Outcomes that a window alone decides. The others say that there was nothing to decide on: no pass, no fail. */
const decided: readonly Outcome[] = ['pass', 'fail', 'borderline'];

/** Returns how a resistance or voltage capture compares with its own raw codes. */
export function rederiveCapture(entry: EntryOf<'capture'>, calibration: Calibration | null): Rederivation {
  const found = rederiveMeasured({ ...entry, calibration, window: entry.capture?.window ?? null });
  const { window, contact } = entry.capture ?? {};
  if (window !== undefined && entry.quantity === 'resistance' && window.level !== entry.level) {
    found.discrepancies.push({
      code: 'evidence.level',
      what: `the codes were read at the ${window.level} level, the entry says ${entry.level}`,
    });
  }
  const isOpen = entry.reading?.state === 'above-range' && entry.quantity === 'resistance';
  if (decided.includes(entry.outcome) && isOpen && entry.by === 'settled' && contact?.seated === false) {
    found.discrepancies.push({
      code: 'evidence.unseated',
      what: 'an open was taken by itself though the tips were not seen to touch anything',
    });
  }
  return found;
}

/** Returns how a proof of the probe compares with its own raw codes. */
export function rederiveProof(entry: EntryOf<'proof'>, calibration: Calibration | null): Rederivation {
  const limits: Limits = { quantity: 'resistance', ...entry.expected };
  return rederiveMeasured({ ...entry, limits, pInside: null, calibration, window: entry.capture?.window ?? null });
}

/** Returns how a run of presses compares with the codes of each press, and its outcome with theirs. */
export function rederivePresses(entry: EntryOf<'presses'>, calibration: Calibration | null): Rederivation {
  const found: Rederivation = { discrepancies: [], derived: 0, withheld: 0 };
  entry.presses.forEach((press, index) => {
    const one = rederivePress(press, entry, calibration);
    found.derived += one.derived;
    found.withheld += one.withheld;
    for (const { code, what } of one.discrepancies)
      found.discrepancies.push({ code, what: `press ${index + 1}: ${what}` });
  });
  const said = whyRunIsNot(entry);
  if (said !== null) found.discrepancies.push({ code: 'derive.outcome', what: said });
  return found;
}

/** Returns how an observation's outcome compares with its answer: unsure is neither pass nor fail. */
export function rederiveObservation(entry: EntryOf<'observation'>): Rederivation {
  const unsure = entry.answer === 'unsure';
  const outcome = entry.answer === entry.passAnswer ? 'pass' : 'fail';
  const right = unsure ? entry.outcome === 'borderline' : entry.outcome === outcome;
  const what = `the answer '${entry.answer}' gives ${unsure ? 'borderline' : outcome}, the entry says ${entry.outcome}`;
  return { discrepancies: right ? [] : [{ code: 'derive.outcome', what }], derived: 1, withheld: 0 };
}

interface Measured {
  window: CaptureWindow | null;
  calibration: Calibration | null;
  limits: Limits;
  rule: Rule;
  reading: StoredReading | null;
  outcome: Outcome;
  pInside: number | null;
}

function rederiveMeasured(measured: Measured): Rederivation {
  const { window, calibration, outcome } = measured;
  const claims = decided.includes(outcome);
  const found: Rederivation = { discrepancies: [], derived: 0, withheld: claims ? 0 : 1 };
  const say = (code: Discrepancy['code'], what: string) => found.discrepancies.push({ code, what });
  if (window === null) {
    if (claims) say('derive.outcome', `the entry says ${outcome} without any codes to show for it`);
    if (measured.reading !== null) say('derive.reading', 'the entry has a reading without any codes to show for it');
    return found;
  }
  // in voltage mode a voltage is what is looked for
  if (claims && (window.flagBits & flagBits.voltage) === 0 && (window.flagBits & flagBits.live) !== 0) {
    say('evidence.live', `the entry says ${outcome} while there was a voltage on the tips`);
  }
  // a calibration that is missing is told of by the caller
  if (calibration === null) return found;
  const reading = readWindow(window, calibration);
  if (measured.reading === null ? claims : !isSameReading(measured.reading, reading)) {
    say('derive.reading', `the codes give ${shown(reading)}, the entry says ${shown(measured.reading)}`);
  }
  if (!claims) return found;
  found.derived = 1;
  const decision: Decision = decide(reading, measured.limits, measured.rule);
  if (decision.outcome !== outcome) {
    say('derive.outcome', `the codes give ${decision.outcome} (${decision.why}), the entry says ${outcome}`);
  } else if (measured.pInside !== null && !isClose(measured.pInside, decision.pInside, 1)) {
    say('derive.p', `the codes give P(inside) = ${decision.pInside}, the entry says ${measured.pInside}`);
  }
  return found;
}

function rederivePress(press: StoredPress, entry: EntryOf<'presses'>, calibration: Calibration | null): Rederivation {
  const bouncy = entry.maxBounceUs !== null && press.bounceUs > entry.maxBounceUs;
  if (!press.missed && !bouncy) {
    return rederiveMeasured({ ...press, limits: entry.limits, rule: entry.rule, pInside: null, calibration });
  }
  // a key that did not close, or bounced for too long, is bad whatever it read
  const right = bouncy ? press.outcome === 'fail' : press.outcome !== 'pass' && press.outcome !== 'borderline';
  const why = bouncy ? `it bounced for ${press.bounceUs} us` : 'it was missed';
  const what = `${why}, the entry says ${press.outcome}`;
  const isFail = press.outcome === 'fail';
  return {
    discrepancies: right ? [] : [{ code: 'derive.outcome', what }],
    derived: isFail ? 1 : 0,
    withheld: isFail ? 0 : 1,
  };
}

/** Bad presses above `maxBad` are a fail; a pass needs all presses, and all but `maxBad` of them good. */
function whyRunIsNot(entry: EntryOf<'presses'>): string | null {
  const bad = entry.presses.filter((press) => press.outcome === 'fail').length;
  const good = entry.presses.filter((press) => press.outcome === 'pass').length;
  const counted = `${bad} bad and ${good} good of ${entry.presses.length} presses (${entry.count} asked for, ${entry.maxBad} may be bad)`;
  if (bad > entry.maxBad)
    return entry.outcome === 'fail' ? null : `${counted} give fail, the entry says ${entry.outcome}`;
  const enough = entry.presses.length >= entry.count && entry.presses.length - good <= entry.maxBad;
  const wrong = entry.outcome === 'fail' || (entry.outcome === 'pass' && !enough);
  return wrong ? `${counted} do not give ${entry.outcome}` : null;
}

function isSameReading(stored: StoredReading, reading: Reading): boolean {
  const scale = Math.max(Math.abs(reading.value), reading.u);
  return (
    stored.state === reading.state &&
    isClose(stored.value, reading.value, scale) &&
    isClose(stored.u, reading.u, reading.u) &&
    isClose(stored.dof, reading.dof, reading.dof) &&
    areSameParts(stored.parts, reading)
  );
}

/** Readings of earlier versions were stored without their parts. */
function areSameParts(stored: StoredReading['parts'], { parts, u }: Reading): boolean {
  if (stored === undefined) return true;
  const names = new Set([...Object.keys(stored), ...parts.map((part) => part.name)]);
  return [...names].every((name) => {
    const part = parts.find((one) => one.name === name);
    return Object.hasOwn(stored, name) && part !== undefined && isClose(stored[name]!, part.u, u);
  });
}

function isClose(a: number, b: number, scale: number): boolean {
  return Math.abs(a - b) <= relativeTolerance * scale;
}

function shown(reading: Pick<Reading, 'value' | 'u' | 'state'> | null): string {
  return reading === null ? 'nothing' : `${reading.value} (u ${reading.u}, ${reading.state})`;
}
