/**
 * Chances that a sequential test may err with: `alpha` rejects what is acceptable, `beta` accepts
 * what is rejectable.
 */
export interface SprtRisks {
  alpha: number;
  beta: number;
}

/**
 * A sequential test on the share of bad presses: acceptable up to `p0`, to be rejected from `p1`
 * on; 0 < p0 < p1 < 1.
 */
export interface SprtPlan extends SprtRisks {
  p0: number;
  p1: number;
}

/** Accept: the share is acceptable (the first hypothesis). Reject: it is not. */
export type SprtDecision = 'accept' | 'reject' | 'continue';

/**
 * Bounds of the logarithm of the likelihood ratio, Wald (1947), 3.2: ln A = ln((1 - beta)/alpha),
 * ln B = ln(beta/(1 - alpha)).
 */
export function waldBounds({ alpha, beta }: SprtRisks): { logA: number; logB: number } {
  return { logA: Math.log((1 - beta) / alpha), logB: Math.log(beta / (1 - alpha)) };
}

/** Returns what a logarithm of the likelihood ratio decides. NaN never decides. */
export function sprtDecide(logRatio: number, risks: SprtRisks): SprtDecision {
  const { logA, logB } = waldBounds(risks);
  if (logRatio >= logA) return 'reject';
  return logRatio <= logB ? 'accept' : 'continue';
}

/** Returns the logarithm of the likelihood ratio of `good` and `bad` presses. */
function logRatioOf(good: number, bad: number, { p0, p1 }: SprtPlan): number {
  return bad * Math.log(p1 / p0) + good * (Math.log1p(-p1) - Math.log1p(-p0));
}

/**
 * Returns what so many good and bad presses decide (Wald's sequential probability ratio test, Ann.
 * Math. Stat. 16 (1945) 117). A plan that makes no sense (see `planTrouble`) decides nothing.
 */
export function sprtBad(good: number, bad: number, plan: SprtPlan): SprtDecision {
  return planTrouble(plan) === null ? sprtDecide(logRatioOf(good, bad, plan), plan) : 'continue';
}

/** Returns why a plan makes no sense, in words; null when it does. */
export function planTrouble({ p0, p1, alpha, beta }: SprtPlan): string | null {
  if (!(p0 > 0 && p1 < 1)) return 'the shares of bad presses must lie between 0 and 1, ends left out';
  if (!(p0 < p1)) return 'the acceptable share of bad presses must be below the rejectable one';
  if (!(alpha > 0 && beta > 0)) return 'the risks must be above 0: no finite number of presses makes certain';
  return alpha + beta < 1 ? null : 'the two risks together must be below 1: a coin would do as well';
}

/**
 * The same bounds as counts of bad presses among n: accept at or below `accept + slope n`, reject
 * at or above `reject + slope n` (Wald 1947, 5.3).
 */
export function sprtLines(plan: SprtPlan): { slope: number; accept: number; reject: number } {
  const { logA, logB } = waldBounds(plan);
  const { p0, p1 } = plan;
  const perGood = Math.log1p(-p0) - Math.log1p(-p1);
  const perBad = Math.log(p1 / p0) + perGood;
  return { slope: perGood / perBad, accept: logB / perBad, reject: logA / perBad };
}
