import type { CalibrationFit, CalibrationMeta, NextStandard } from '../../calibrate/fit/fit-types.ts';
import type { CalPoint } from '../../calibrate/points/cal-point.ts';
import type { Combination, PresentedStandard } from '../../calibrate/standards/presented-standards.ts';
import type { CaptureWindow, Reading } from '../../measure/types.ts';
import type { ProbeIdentity } from '../../protocol/messages.ts';
import type { InForce } from '../engine/calibration-in-force.ts';
import type { CommonEffect } from '../engine/session-parts.ts';

/** One standard and how far it has been read. */
export interface StandardState extends PresentedStandard {
  combinations: Combination[];
  /** Points taken of it, by their place in `combinations`. */
  taken: (CalPoint | null)[];
  /** By the person, or because it tells nothing on any range. */
  skipped: boolean;
}

/**
 * Where a calibration session stands. `asking`: a standard is wanted at the tips; `reading`: it is
 * there and one setting after another is read; `lifting`: all was read; `check`: the built-in check
 * resistor is read; `ended`: nothing more is asked for.
 */
type CalibrationStage = 'connecting' | 'arming' | 'asking' | 'reading' | 'lifting' | 'check' | 'ended';

/** What the probe is set to, and what is looked for with it. */
export interface CalibrationMode {
  combination: Combination;
  /**
   * `touch`: a steady touch; `air`: both tips off everything; `check`: the built-in resistor, range
   * chosen by the probe.
   */
  watch: 'touch' | 'air' | 'check';
}

/** All that a calibration session knows. */
export interface CalibrationState {
  meta: CalibrationMeta;
  connected: boolean;
  linkText: string;
  identity: ProbeIdentity | null;
  /** What was in force before the session. */
  before: InForce | null;
  standards: StandardState[];
  /**
   * No resistors were named beforehand: the session waits for more of them to be typed, until it is
   * finished.
   */
  isOpenEnded: boolean;
  /** Id of the standard in hand. */
  at: string | null;
  /** Place in its combinations. */
  step: number;
  stage: CalibrationStage;
  /** 0..1 while a touch settles at one setting. */
  progress: number;
  live: boolean;
  /** The reading of a touch that did not fit the standard asked for: the same again is taken. */
  refused: { id: string; ohm: number } | null;
  message: { text: string; isTrouble: boolean } | null;
  last: Reading | null;
  fit: CalibrationFit | null;
  next: NextStandard | null;
  /** The check resistor as the fit reads it, with the window it was read in. */
  check: { ohm: number; uOhm: number } | null;
  prompts: number;
  end: 'done' | 'left' | null;
}

export type CalibrationEvent =
  | { type: 'connected'; identity: ProbeIdentity; path: string; before: InForce }
  | { type: 'disconnected'; why: string }
  | { type: 'mode-set' }
  | { type: 'mode-refused' }
  | { type: 'make' }
  | { type: 'settling'; progress: number }
  | { type: 'captured'; window: CaptureWindow; reading: Reading }
  | { type: 'unsteady'; why: string }
  | { type: 'lift' }
  | { type: 'live'; on: boolean }
  /** What a person or a button says. */
  | { type: 'skip' }
  | { type: 'again' }
  | { type: 'add'; standard: PresentedStandard }
  | { type: 'finish' }
  | { type: 'quit' };

export type CalibrationEffect = CommonEffect | { do: 'mode'; mode: CalibrationMode };

/** Returns the points taken so far, in the order of the standards. */
export function pointsOf({ standards }: Pick<CalibrationState, 'standards'>): CalPoint[] {
  return standards.flatMap(({ taken }) => taken.filter((point) => point !== null));
}

/** Three parameters take as many different standards. */
const leastStandards = 3;

/**
 * Returns the points that are fitted: those of settings at which enough standards were read to
 * determine a curve, a resistor among them. The others are a setting that was not calibrated, and
 * no fault of the rest.
 */
export function fittedPointsOf({ standards }: Pick<CalibrationState, 'standards'>): CalPoint[] {
  const key = ({ range, level }: Combination): string => `${range} ${level}`;
  const seen = new Map<string, { standards: number; resistors: number }>();
  for (const { standard, taken } of standards) {
    for (const point of taken) {
      if (point === null) continue;
      const count = seen.get(key(point)) ?? { standards: 0, resistors: 0 };
      const isResistor = standard.kind === 'resistor';
      seen.set(key(point), {
        standards: count.standards + 1,
        resistors: count.resistors + (isResistor ? 1 : 0),
      });
    }
  }
  return pointsOf({ standards }).filter((point) => {
    if (point.level === 'voltage') return true;
    const count = seen.get(key(point))!;
    return count.standards >= leastStandards && count.resistors > 0;
  });
}

/** Returns the standard in hand. */
export function standardInHand({ standards, at }: CalibrationState): StandardState | null {
  return standards.find(({ id }) => id === at) ?? null;
}

/** Returns whether every setting of a standard was read. */
export function isTaken({ taken }: StandardState): boolean {
  return taken.length > 0 && taken.every((point) => point !== null);
}
