import { branches, decisionShares, informationBits, type Weights } from '../../../src/isolate/next/information.ts';
import { type Bench, leastBits, rankChecks } from '../../../src/isolate/next/rank-checks.ts';

/**
 * Returns the least expected minutes of any policy that stops where isolation stops, by dynamic programming over all sequences of
 * checks and outcomes: at a decision of the wanted confidence, or when no check is worth its least information.
 */
export function leastMinutesOf<S>(bench: Bench<S>, start: Weights, standing: S, checks: readonly number[]): number {
  const known = new Map<string, number>();
  const solve = (weights: Weights, at: S, from: number | null, open: readonly number[], path: string): number => {
    const key = `${path}|${from}`;
    const seen = known.get(key);
    if (seen !== undefined) return seen;
    let least = Number.POSITIVE_INFINITY;
    if (isOver(bench, weights)) least = 0;
    else {
      for (const check of open) {
        if (informationBits(bench.outlook, check, weights) < leastBits) continue;
        let minutes = bench.minutes(check, at);
        const rest = open.filter((one) => one !== check);
        branches(bench.outlook, check, weights).forEach(({ p, after }, outcome) => {
          if (after === null) return;
          minutes += p * solve(after, bench.after(check), check, rest, withStep(path, check, outcome));
        });
        least = Math.min(least, minutes);
      }
      if (least === Number.POSITIVE_INFINITY) least = 0;
    }
    known.set(key, least);
    return least;
  };
  return solve(start, standing, null, checks, '');
}

/** Returns the expected minutes, the expected number of checks and the worst number of checks of the policy as it is. */
export function policyMinutes<S>(
  bench: Bench<S>,
  weights: Weights,
  standing: S,
  open: readonly number[],
): { minutes: number; checks: number; worst: number } {
  const best = isOver(bench, weights) ? undefined : rankChecks(bench, weights, standing, open)[0];
  const sum = { minutes: 0, checks: 0, worst: 0 };
  if (best === undefined) return sum;
  sum.minutes = bench.minutes(best.check, standing);
  sum.checks = 1;
  const rest = open.filter((one) => one !== best.check);
  for (const { p, after } of branches(bench.outlook, best.check, weights)) {
    if (after === null) continue;
    const then = policyMinutes(bench, after, bench.after(best.check), rest);
    sum.minutes += p * then.minutes;
    sum.checks += p * then.checks;
    sum.worst = Math.max(sum.worst, 1 + then.worst);
  }
  return sum;
}

function isOver<S>(bench: Bench<S>, weights: Weights): boolean {
  return decisionShares(bench.outlook, weights).some((p) => p >= bench.confidence);
}

/** What was seen, whatever the order. */
function withStep(path: string, check: number, outcome: number): string {
  return [...(path === '' ? [] : path.split(',')), `${check}:${outcome}`].sort().join(',');
}
