import { frontEndTable } from '../../protocol/table.ts';
import { median } from '../../statistics/robust.ts';
import { defaultContactSettings } from '../contact/contact-settings.ts';
import type { HoldBucket } from '../contact/steady-hold.ts';
import { codeOfOhm, ohmOfCode, rangeCalibration } from '../reading/calibration.ts';
import { formatQuantity } from '../reading/format.ts';
import type { Calibration, ContactSummary, Level, Limits, Outcome, Reading, Rule } from '../types.ts';
import { decide } from './decide.ts';

/** Spread of a steady reading, in codes: 0.6 steps rms of noise beside rounding, summed over a reading's conversions (common practice, no source). */
const noiseCodes = Math.sqrt(frontEndTable.sumOf * (0.6 ** 2 + 1 / 12));
/** Of some thousand readings none is farther off than this by noise alone (1 in 150 000 of a normal distribution). */
const noiseReach = 4.5;

/** How far a held path moved, in ohm, beyond what noise explains. */
export interface HoldSpan {
  minOhm: number;
  medianOhm: number;
  maxOhm: number;
  /** (max - min) / median, with a floor under the median. */
  wander: number;
}

/** Wandering below this many ohms is none: it lies in what a fine tip on a pad does. */
const floorOhm = defaultContactSettings.floorOhm;

/** Returns the span of a hold's buckets; null when there is none, or one is of a range that the calibration does not hold. */
export function holdSpan(buckets: readonly HoldBucket[], level: Level, calibration: Calibration): HoldSpan | null {
  const lows: number[] = [];
  const highs: number[] = [];
  const means: number[] = [];
  for (const { range, min, max, mean } of buckets) {
    const entry = rangeCalibration(calibration, range, level);
    if (entry === null) return null;
    const reach = Math.min(noiseReach * noiseCodes, (max - min) / 2);
    const end = codeOfOhm(10e6, entry);
    const ohm = (code: number): number => ohmOfCode(Math.min(code, end), entry) - calibration.leadOhm;
    lows.push(ohm(min + reach));
    highs.push(ohm(max - reach));
    means.push(ohm(mean));
  }
  if (means.length === 0) return null;
  const minOhm = Math.min(...lows);
  const maxOhm = Math.max(...highs);
  const medianOhm = median(means);
  const moved = maxOhm - minOhm;
  return { minOhm, medianOhm, maxOhm, wander: moved <= floorOhm ? 0 : moved / Math.max(Math.abs(medianOhm), floorOhm) };
}

/** What a hold is held against. */
export interface HoldLimits {
  limits: Limits;
  rule: Rule;
  maxDropOuts: number;
  maxWander: number;
}

/**
 * Returns what a held touch comes to: the settled reading against the limits first; then its openings and its wandering.
 *
 * Tips that feel their seat tell an opening of the path from a hand that slipped, so openings and wandering are the device's: a fail.
 * `span` null: nothing was held.
 */
export function judgeHold(
  settled: Reading,
  span: HoldSpan | null,
  dropOuts: ContactSummary['dropOuts'],
  against: HoldLimits,
): { outcome: Extract<Outcome, 'pass' | 'fail' | 'borderline'>; isUnsteady: boolean; why: string } {
  const { limits, rule, maxDropOuts, maxWander } = against;
  const decision = decide(settled, limits, rule);
  const opened = dropOuts.count + dropOuts.subReading;
  const dropped = opened > maxDropOuts;
  const wandered = span !== null && span.wander > maxWander;
  const isUnsteady = dropped || wandered;
  const troubles: string[] = [];
  if (dropped) troubles.push(openedText(dropOuts));
  if (wandered) {
    const from = formatQuantity(span.minOhm, 'resistance');
    troubles.push(`wandered from ${from} to ${formatQuantity(span.maxOhm, 'resistance')}`);
  }
  if (decision.outcome === 'fail') return { outcome: 'fail', isUnsteady, why: [decision.why, ...troubles].join('; ') };
  if (isUnsteady) return { outcome: 'fail', isUnsteady, why: `${troubles.join('; ')} while held (${decision.why})` };
  if (span === null) return { outcome: 'borderline', isUnsteady, why: `${decision.why}; nothing was held` };
  return { outcome: decision.outcome, isUnsteady, why: `${decision.why}; steady while held` };
}

function openedText({ count, longestUs, subReading }: ContactSummary['dropOuts']): string {
  const times = (n: number): string => (n === 1 ? 'once' : `${n} times`);
  if (count === 0) return `dropped out at least ${times(subReading)}, shorter than one reading`;
  return `dropped out ${times(count)}, for at most ${(longestUs / 1000).toFixed(1)} ms`;
}
