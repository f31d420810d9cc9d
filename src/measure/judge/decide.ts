import { studentCdf } from '../../statistics/distributions/distribution.ts';
import { formatLimits, formatReading } from '../reading/format.ts';
import type { Decision, Limits, Reading, Rule } from '../types.ts';

/** The default rule: inside or outside with a probability of at least 0.975. */
export const guardedRule: Rule = { name: 'guarded', p: 0.975 };

/** P on the certain side for a reading beyond its range end (see readWindow): at least Phi(3). */
const nearCertain = 0.99865;

/**
 * Returns what a reading comes to against its limits.
 *
 * - guarded: pass if P(inside) >= p, fail if P(outside) >= p, else borderline; P from Student's t
 *   of the reading's degrees of freedom about its estimate (JCGM 106:2012, 7.3 and 7.4; guarded
 *   acceptance and rejection 8.3).
 * - simple: the estimate alone (JCGM 106:2012, 8.2).
 * - An open (above range) fails an upper limit within the range, passes a lower limit within the
 *   range, and is borderline to anything beyond what the probe can measure. What can't be read, a
 *   resistance below zero, limits that contradict themselves or bind nothing, and numbers that are
 *   none are borderline: never a pass. `pInside` is 0 where nothing can be said.
 */
export function decide(reading: Reading, limits: Limits, rule: Rule): Decision {
  const unusable = whyUnusable(reading, limits);
  if (unusable !== null) return { outcome: 'borderline', pInside: 0, why: unusable };
  if (reading.state === 'above-range') return decideBeyond(reading, limits, 1);
  if (reading.state === 'below-range') return decideBeyond(reading, limits, -1);
  const pInside = probabilityInside(reading, limits);
  const outcome = outcomeOf(reading, limits, rule, pInside);
  return { outcome, pInside, why: reason(outcome, reading, limits, rule) };
}

/**
 * Returns the probability that the true value lies inside the limits (both ends included). A
 * reading with u = 0 is certain.
 */
export function probabilityInside(reading: Reading, limits: Limits): number {
  const { value, u, dof } = reading;
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = limits;
  if (u === 0) return value >= min && value <= max ? 1 : 0;
  const toMax = (max - value) / u;
  const toMin = (min - value) / u;
  // one-sided limits take their own tail, so that small probabilities keep their digits
  if (toMax === Number.POSITIVE_INFINITY) return studentCdf(-toMin, dof);
  if (toMin === Number.NEGATIVE_INFINITY) return studentCdf(toMax, dof);
  return toMin > 0
    ? studentCdf(-toMin, dof) - studentCdf(-toMax, dof)
    : studentCdf(toMax, dof) - studentCdf(toMin, dof);
}

function outcomeOf(reading: Reading, limits: Limits, rule: Rule, pInside: number): Decision['outcome'] {
  if (rule.name === 'simple') {
    const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = limits;
    return reading.value >= min && reading.value <= max ? 'pass' : 'fail';
  }
  // a rule that asks for less than an even chance could both pass and fail; it is held to an even
  // chance
  const p = Math.max(rule.p, 0.5);
  if (pInside >= p) return 'pass';
  return 1 - pInside >= p ? 'fail' : 'borderline';
}

function whyUnusable(reading: Reading, limits: Limits): string | null {
  const { min, max, quantity } = limits;
  if (quantity !== reading.quantity) return `the limits are for a ${quantity}, the reading is a ${reading.quantity}`;
  if (min === undefined && max === undefined) return 'no limit is given, so nothing can be decided';
  if (Number.isNaN(min) || Number.isNaN(max)) return 'a limit is not a number';
  if (min !== undefined && max !== undefined && min > max)
    return 'the limits contradict each other: nothing can meet them';
  if (reading.state === 'unreadable') return 'there is no reading';
  if (
    !Number.isFinite(reading.value) ||
    !(reading.u >= 0 && reading.u < Number.POSITIVE_INFINITY) ||
    !(reading.dof > 0)
  )
    return 'the reading is not a number';
  return null;
}

/** Decides a reading that is only known to lie beyond the range end, above (1) or below (-1). */
function decideBeyond(reading: Reading, limits: Limits, side: 1 | -1): Decision {
  if (side === -1 && reading.quantity === 'resistance') {
    const why = 'reads below zero by more than its uncertainty: a foreign voltage on the tips, or a wrong calibration';
    return { outcome: 'borderline', pInside: 0, why };
  }
  const end = side * reading.rangeEnd;
  const near = side === 1 ? limits.min : limits.max;
  const far = side === 1 ? limits.max : limits.min;
  const shown = formatReading(reading);
  const bounds = formatLimits(limits);
  if (far !== undefined && side * far <= side * end) {
    return { outcome: 'fail', pInside: 1 - nearCertain, why: `${shown}, wanted ${bounds}` };
  }
  if (far === undefined && near !== undefined && side * near <= side * end) {
    return { outcome: 'pass', pInside: nearCertain, why: `${shown}, as wanted: ${bounds}` };
  }
  const why = `${shown}, but the limit (${bounds}) lies beyond what this range can measure`;
  return { outcome: 'borderline', pInside: 0.5, why };
}

function reason(outcome: Decision['outcome'], reading: Reading, limits: Limits, rule: Rule): string {
  const shown = formatReading(reading);
  const bounds = formatLimits(limits);
  if (outcome === 'pass') return `${shown}, as wanted: ${bounds}`;
  if (outcome === 'borderline') return `${shown}: the uncertainty reaches across the limit (${bounds})`;
  const mirrored = probabilityInside({ ...reading, value: -reading.value }, limits);
  if (
    reading.quantity === 'voltage' &&
    reading.value < 0 &&
    outcomeOf({ ...reading, value: -reading.value }, limits, rule, mirrored) === 'pass'
  ) {
    return `${shown}, wanted ${bounds}: the polarity is reversed; if the tips are swapped, touch again`;
  }
  return `${shown}, wanted ${bounds}`;
}
