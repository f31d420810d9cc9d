import { judge } from '../../checks/registry.ts';
import type { Calibration, CaptureWindow, Limits, Outcome, Reading, Rule } from '../../measure/types.ts';
import { flagBits } from '../../protocol/table.ts';
import type { StoredReading } from '../../record/entries/entries.ts';
import type { Compared } from '../finding.ts';

/** Evidence that does not bear out what its entry says. `code` is stable. */
export interface Discrepancy {
  code:
    | 'derive.reading'
    | 'derive.outcome'
    | 'derive.p'
    | 'derive.proven'
    | 'evidence.live'
    | 'evidence.level'
    | 'evidence.mode'
    | 'evidence.hold'
    | 'evidence.unseated';
  what: string;
  compared?: Compared;
}

/**
 * What working an entry out again came to: `derived` outcomes follow from raw codes or an answer,
 * `withheld` ones claim nothing.
 */
export interface Rederivation {
  discrepancies: Discrepancy[];
  derived: number;
  withheld: number;
}

/**
 * Two computations of one number on different machines may differ in the last digits (exp, log,
 * hypot).
 */
const relativeTolerance = 1e-9;

/**
 * Outcomes that a window alone decides. The others say that there was nothing to decide on: no
 * pass, no fail.
 */
export const decided: readonly Outcome[] = ['pass', 'fail', 'borderline'];

/**
 * An outcome with the window, limits and rule that it rests on. `calibration` null: it is missing,
 * which the caller tells.
 */
export interface DecidedReading {
  window: CaptureWindow | null;
  calibration: Calibration | null;
  limits: Limits;
  rule: Rule;
  reading: StoredReading | null;
  outcome: Outcome;
  pInside: number | null;
}

/** Returns how an outcome that one window decides compares with that window. */
export function rederiveMeasured(measured: DecidedReading): Rederivation {
  const { window, calibration, outcome } = measured;
  const claims = decided.includes(outcome);
  const found: Rederivation = { discrepancies: [], derived: 0, withheld: claims ? 0 : 1 };
  const say = (code: Discrepancy['code'], what: string, compared?: Compared) =>
    found.discrepancies.push({ code, what, compared });
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
  const { limits, rule } = measured;
  const { reading, ...decision } = judge(limits.quantity, { window, calibration, limits, rule });
  if (measured.reading === null ? claims : !isSameReading(measured.reading, reading)) {
    say('derive.reading', `the codes give ${shown(reading)}, the entry says ${shown(measured.reading)}`, {
      stands: measured.reading,
      due: bare(reading),
    });
  }
  if (!claims) return found;
  found.derived = 1;
  if (decision.outcome !== outcome) {
    say('derive.outcome', `the codes give ${decision.outcome} (${decision.why}), the entry says ${outcome}`, {
      stands: outcome,
      due: decision.outcome,
    });
  } else if (measured.pInside !== null && !isClose(measured.pInside, decision.pInside, 1)) {
    say('derive.p', `the codes give P(inside) = ${decision.pInside}, the entry says ${measured.pInside}`, {
      stands: measured.pInside,
      due: decision.pInside,
    });
  }
  return found;
}

/** Returns whether a stored reading is the one that its codes give, but for the last digits. */
export function isSameReading(stored: StoredReading, reading: Reading): boolean {
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

/**
 * Returns whether two computations of one number agree, `scale` being what their last digits are
 * measured by.
 */
export function isClose(a: number, b: number, scale: number): boolean {
  return Math.abs(a - b) <= relativeTolerance * scale;
}

/** A reading less what no record holds. */
export function bare({ value, u, dof, state }: Reading): StoredReading {
  return { value, u, dof, state };
}

/** Returns a reading in words. */
export function shown(reading: Pick<Reading, 'value' | 'u' | 'state'> | null): string {
  return reading === null ? 'nothing' : `${reading.value} (u ${reading.u}, ${reading.state})`;
}
