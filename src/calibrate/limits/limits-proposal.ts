import { formatQuantity } from '../../measure/reading/format.ts';
import type { Limits } from '../../measure/types.ts';
import { meanOf, standardDeviation } from '../../statistics/moments.ts';
import { type SampleScale, type SampleShape, sampleShape } from '../../statistics/sample-shape.ts';
import {
  limitingFactor,
  mostWidening,
  type Promised,
  type Sides,
  toleranceFactor,
  unitsNeeded,
  unitsNeededForExtremes,
} from '../../statistics/tolerance-interval.ts';
import { type ProposalReason, proposalWords } from './limits-words.ts';

/**
 * One known-good unit at one check, in ohm or volt. `u`: standard uncertainty, null when not known.
 */
export interface GoodValue {
  unit: string;
  value: number;
  u: number | null;
  /** Beyond the range end: `value` is a bound and not an estimate. */
  isOpen: boolean;
}

/**
 * Mean and standard deviation (of the natural logarithms on the log scale), and the tolerance
 * limits that they give.
 */
export interface ScaleFit {
  scale: SampleScale;
  mean: number;
  sd: number;
  /** In ohm or volt on either scale. */
  middle: number;
  min: number;
  max: number;
}

/** What known-good units propose for one check. */
export interface LimitsProposal {
  check: string;
  sides: Sides;
  current: Limits;
  /**
   * `proposed` may be written. `doubtful`: there are limits, but a reason to look first. `none`:
   * there are no limits.
   */
  verdict: 'proposed' | 'doubtful' | 'none';
  limits: Limits | null;
  /** Normal tolerance limits on the scales of `fits`, or the extremes of enough units. */
  method: 'normal' | 'extremes' | null;
  /** Units that the limits rest on. */
  n: number;
  factor: number | null;
  /** Each scale on which the units may be taken as normal; two where the units let both stand. */
  fits: ScaleFit[];
  shape: SampleShape | null;
  /** Units that do not belong; the limits are worked out without them. */
  outliers: { unit: string; value: number }[];
  /** How many more units would do; 0 when there are enough. */
  moreUnits: number;
  reasons: ProposalReason[];
}

/**
 * Returns the limits that values of known-good units propose in place of the current ones of a
 * check, on the same sides: normal tolerance limits (two-sided after Howe, one-sided by the
 * noncentral t) on the scale that {@link sampleShape} finds - the wider end of both where it lets
 * both stand - or the extremes when no scale is normal and there are enough units. Rounded away
 * from the units, to the second digit of the distance between limit and middle.
 *
 * Pure; opens (`isOpen`) have no spread, so a check with any of them keeps its limits.
 */
export function proposeLimits(
  check: string,
  current: Limits,
  values: readonly GoodValue[],
  promise: Promised,
): LimitsProposal {
  const sides: Sides = current.min === undefined ? 'upper' : current.max === undefined ? 'lower' : 'both';
  const none: LimitsProposal = {
    check,
    sides,
    current,
    verdict: 'none',
    limits: null,
    method: null,
    n: values.length,
    factor: null,
    fits: [],
    shape: null,
    outliers: [],
    moreUnits: 0,
    reasons: [],
  };
  const opens = values.filter(({ isOpen }) => isOpen).length;
  if (opens > 0) return { ...none, reasons: [proposalWords.opens(opens, values.length, promise.confidence)] };
  if (values.length < 2) {
    const moreUnits = unitsNeeded(sides, promise) - values.length;
    return { ...none, moreUnits, reasons: [proposalWords.tooFew(values.length, moreUnits)] };
  }
  const shape = sampleShape(values.map(({ value }) => value));
  const kept = values.filter((_, i) => !shape.outliers.includes(i));
  const numbers = kept.map(({ value }) => value);
  const found =
    shape.scales.length === 0
      ? fromExtremes(numbers, sides, promise)
      : fromNormal(numbers, shape.scales, sides, promise);
  const { method, factor, fits, moreUnits } = found;
  const proposal: LimitsProposal = {
    ...none,
    ...{ method, factor, fits, moreUnits },
    shape,
    outliers: shape.outliers.map((i) => ({ unit: values[i]!.unit, value: values[i]!.value })),
    n: kept.length,
    reasons: shape.outliers.map((i) => proposalWords.outlier(values[i]!.unit, shown(values[i]!.value, current))),
  };
  const { reasons } = proposal;
  if (found.trouble !== null) reasons.push(found.trouble);
  if (found.ends === null) return proposal;
  const { limits, reason } = placed(found.ends, found.middle, current);
  if (reason !== null) reasons.push(reason);
  if (limits === null) return proposal;
  if (found.moreUnits > 0) reasons.push(proposalWords.tooFew(kept.length, found.moreUnits));
  const probe = probeReason(limits, found, kept);
  if (probe !== null) reasons.push(probe);
  return { ...proposal, limits, verdict: reasons.some(({ doubt }) => doubt) ? 'doubtful' : 'proposed' };
}

/**
 * What a sample comes to before rounding. `ends` null: to no limits, for the reason in `trouble`.
 */
interface Found extends Pick<LimitsProposal, 'method' | 'factor' | 'fits' | 'moreUnits'> {
  ends: { min: number; max: number } | null;
  middle: number;
  trouble: ProposalReason | null;
}

function fromNormal(values: readonly number[], scales: readonly SampleScale[], sides: Sides, promise: Promised): Found {
  const n = values.length;
  const factor = toleranceFactor(sides, n, promise);
  const isEnough = factor <= mostWidening * limitingFactor(sides, promise);
  const moreUnits = isEnough ? 0 : unitsNeeded(sides, promise) - n;
  const fits = scales.map((scale) => fitOn(scale, values, factor));
  const found = { factor, fits, moreUnits, middle: fits[0]!.middle };
  if (!(fits[0]!.sd > 0)) return { ...found, method: null, ends: null, trouble: proposalWords.noSpread() };
  // values that are all above zero don't call for a limit below it when their logarithms give one
  // above
  const possible = scales.includes('log') ? fits.filter(({ min }) => min > 0) : fits;
  const ends = { min: Math.min(...possible.map(({ min }) => min)), max: Math.max(...fits.map(({ max }) => max)) };
  return { ...found, method: 'normal', ends, trouble: null };
}

function fitOn(scale: SampleScale, values: readonly number[], factor: number): ScaleFit {
  const scaled = scale === 'log' ? values.map(Math.log) : values;
  const back = (x: number): number => (scale === 'log' ? Math.exp(x) : x);
  const mean = meanOf(scaled);
  const sd = standardDeviation(scaled);
  return { scale, mean, sd, middle: back(mean), min: back(mean - factor * sd), max: back(mean + factor * sd) };
}

function fromExtremes(values: readonly number[], sides: Sides, promise: Promised): Found {
  const n = values.length;
  const enough = unitsNeededForExtremes(sides, promise);
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted[n >> 1]!;
  const found = { factor: null, fits: [], moreUnits: Math.max(0, enough - n), middle };
  if (n < enough) return { ...found, method: null, ends: null, trouble: proposalWords.notNormal(n, enough) };
  return { ...found, method: 'extremes', ends: { min: sorted[0]!, max: sorted[n - 1]! }, trouble: null };
}

/**
 * Rounds the ends that the current limits have; a lower limit of a resistance at or below zero
 * binds nothing and is left out.
 */
function placed(
  ends: { min: number; max: number },
  middle: number,
  current: Limits,
): { limits: Limits | null; reason: ProposalReason | null } {
  const limits: Limits = { quantity: current.quantity };
  if (current.max !== undefined) limits.max = roundAway(ends.max, middle);
  if (current.min !== undefined) limits.min = roundAway(ends.min, middle);
  const bindsNothing = current.quantity === 'resistance' && limits.min !== undefined && limits.min <= 0;
  if (bindsNothing) delete limits.min;
  const isEmpty = limits.min === undefined && limits.max === undefined;
  return { limits: isEmpty ? null : limits, reason: bindsNothing ? proposalWords.belowZero() : null };
}

/** The spread of the units, or the room beside them, may be the probe's own. */
function probeReason(limits: Limits, { middle, fits }: Found, good: readonly GoodValue[]): ProposalReason | null {
  const u = Math.max(...good.map((value) => value.u ?? 0));
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = limits;
  if (Math.min(max - middle, middle - min) < 2 * u) return proposalWords.insideUncertainty(shown(2 * u, limits));
  const linear = fits.find(({ scale }) => scale === 'linear');
  return linear !== undefined && u > linear.sd / 2 ? proposalWords.probeSpread() : null;
}

/**
 * Returns a limit moved away from the middle to a round number: to the second digit of its distance
 * from the middle.
 */
export function roundAway(limit: number, middle: number): number {
  const distance = Math.abs(limit - middle);
  if (!(distance > 0)) return limit;
  const place = Math.floor(Math.log10(distance)) - 1;
  const step = 10 ** place;
  // the small allowance keeps what is round already; the digits are cut anew, or binary rounding
  // leaves a tail of nines
  const steps = limit > middle ? Math.ceil(limit / step - 1e-9) : Math.floor(limit / step + 1e-9);
  return place >= 0 ? steps * step : Number((steps * step).toFixed(Math.min(100, -place)));
}

function shown(value: number, { quantity }: Limits): string {
  return formatQuantity(value, quantity);
}

/**
 * Returns by how much wider the limits are than endless units would make them, as a factor; null
 * without a factor.
 */
export function wideningOf({ factor, sides }: LimitsProposal, promise: Promised): number | null {
  return factor === null ? null : factor / limitingFactor(sides, promise);
}
