import type { OutcomeRows } from '../../../src/isolate/belief/outcome-rows.ts';
import type { Outlook } from '../../../src/isolate/next/information.ts';
import type { Bench } from '../../../src/isolate/next/rank-checks.ts';

/** A bench whose checks answer as the table says: for each check and class of outcome, its probability under each suspect. */
export function smallBench(
  table: readonly (readonly (readonly number[])[])[],
  minutes: readonly number[],
): Bench<null> {
  const suspects = table[0]![0]!.length;
  const all = Array.from({ length: suspects }, (_, s) => s);
  const outcomes = table.map(
    (classes): OutcomeRows => ({
      rest: new Float64Array(classes.length),
      rowOf: Int32Array.from(all),
      p: Float64Array.from(all.flatMap((s) => classes.map((row) => row[s]!))),
    }),
  );
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
