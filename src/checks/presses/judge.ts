import { decide } from '../../measure/judge/decide.ts';
import type { Limits, Outcome, Reading, Rule } from '../../measure/types.ts';
import { successRunShare } from '../../statistics/success-run.ts';
import type { Judged } from '../kind.ts';

/**
 * One press: its steady closed reading (null: it never settled, or was missed) and how it bounced.
 */
interface RawPress {
  reading: Reading | null;
  bounceUs: number;
  missed: boolean;
}

/** What a press is held against. */
interface PressLimits {
  limits: Limits;
  rule: Rule;
  /** Longest bounce of a good press, in microseconds; null: bounce does not count. */
  maxBounceUs: number | null;
}

/** A run of presses. */
export interface RawPresses extends PressLimits {
  presses: readonly RawPress[];
  /** Presses asked for, and how many of them may be bad. */
  count: number;
  maxBad: number;
  /** Why the run ended before its last press, in words; null: it did not. */
  cutShort: string | null;
}

/** Returns what a run of presses comes to, and each of its presses. */
export function judgePresses(raw: RawPresses): Judged & { presses: Outcome[] } {
  const { presses, count, cutShort } = raw;
  const outcomes = presses.map((press) => judgePress(press, raw));
  const outcome = runOutcome({ ...raw, outcomes });
  const bad = outcomes.filter((one) => one === 'fail').length;
  const why = cutShort ?? `${bad} bad of ${count}${claimOf(count, outcome, bad)}`;
  return { reading: null, presses: outcomes, outcome, why };
}

/** Returns what one press comes to: missed or too long a bounce is a fail, whatever it read. */
function judgePress({ reading, bounceUs, missed }: RawPress, { limits, rule, maxBounceUs }: PressLimits): Outcome {
  if (missed || (maxBounceUs !== null && bounceUs > maxBounceUs)) return 'fail';
  return reading === null ? 'unsteady' : decide(reading, limits, rule).outcome;
}

/**
 * Returns what a run comes to by the outcomes of its presses. One that was cut short is never a
 * pass.
 */
export function runOutcome({
  outcomes,
  maxBad,
  cutShort,
}: Pick<RawPresses, 'maxBad' | 'cutShort'> & { outcomes: readonly Outcome[] }): Outcome {
  const bad = outcomes.filter((one) => one === 'fail').length;
  const good = outcomes.filter((one) => one === 'pass').length;
  if (bad > maxBad) return 'fail';
  if (cutShort !== null) return outcomes.length === 0 ? 'no-contact' : 'unsteady';
  return outcomes.length - good > maxBad ? 'borderline' : 'pass';
}

/** Confidence of what a run of good presses is said to show. */
const confidence = 0.95;

/**
 * What a run without a bad press shows of all the presses to come (success run); nothing for
 * another outcome.
 */
function claimOf(count: number, outcome: Outcome, bad: number): string {
  if (outcome !== 'pass' || bad > 0) return '';
  const percent = Math.floor(1000 * successRunShare(count, confidence)) / 10;
  return `, which shows at least ${percent} % good presses (95 % confidence)`;
}
