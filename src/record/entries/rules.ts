import type { Entry } from './entries.ts';

/**
 * Number of the rules by which this program makes records: the formulas of uncertainty, outcome,
 * likelihood and plan.
 *
 * One more whenever one of these formulas changes. The rules before stay computable
 * (`src/verify/rules.ts`), and a record of theirs is kept in `tests/fixtures/records`.
 */
export const currentRules = 2;

/** What the fold of a record does differently under the numbers of rules; everything else stands in `verify/rules.ts`. */
interface FoldRules {
  /**
   * So many tries of one proof may fail and it still holds by the next: as many as a session offers. Whoever repeats it
   * more often chooses the try that suits (a choice of this program, no source).
   */
  mostFailedTries: number;
}

const newest: FoldRules = { mostFailedTries: 2 };
const foldRules: ReadonlyMap<number, FoldRules> = new Map([
  [1, { mostFailedTries: Number.POSITIVE_INFINITY }],
  [2, newest],
]);

/** Returns what the fold does under a number of rules; of one that is not known yet, what it does under the newest. */
export function foldRulesOf(rules: number): FoldRules {
  return foldRules.get(rules) ?? newest;
}

/**
 * Returns the rules in force from an entry on, when it names any; null for an entry that changes
 * nothing. Absent means 1.
 */
export function rulesFrom(entry: Entry): number | null {
  const names = entry.kind === 'opened' || entry.kind === 'resumed' || entry.kind === 'addendum';
  return names ? (entry.rules ?? 1) : null;
}

/**
 * Returns the rules by which a record was made, each once: those of its opening first, those of
 * later resumes behind.
 */
export function rulesIn(entries: readonly Entry[]): number[] {
  return [...new Set(entries.flatMap((entry) => rulesFrom(entry) ?? []))];
}
