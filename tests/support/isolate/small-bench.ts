import type { Outlook } from '../../../src/isolate/next/information.ts';
import type { Bench } from '../../../src/isolate/next/rank-checks.ts';

/** A bench whose checks answer as the table says: for each check and class of outcome, its probability under each suspect. */
export function smallBench(
  table: readonly (readonly (readonly number[])[])[],
  minutes: readonly number[],
): Bench<null> {
  const outcomes = table.map((classes) => classes.map((row) => Float64Array.from(row)));
  const suspects = outcomes[0]![0]!.length;
  const outlook: Outlook = {
    decisionOf: Int32Array.from({ length: suspects }, (_, s) => s),
    decisions: suspects,
    checks: table.length,
    outcomes: (check) => outcomes[check]!,
  };
  return { outlook, minutes: (check) => minutes[check]!, after: () => null, confidence: 0.95 };
}

/** A chain of n units, one at fault; check k tells whether the fault lies in the first k + 1 units. */
export function chainBench(n: number): Bench<null> {
  const table = Array.from({ length: Math.max(1, n - 1) }, (_, k) => [
    Array.from({ length: n }, (_, unit) => (unit <= k ? 1 : 0)),
    Array.from({ length: n }, (_, unit) => (unit <= k ? 0 : 1)),
  ]);
  return smallBench(
    table,
    table.map(() => 1),
  );
}
