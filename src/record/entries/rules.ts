import type { Entry } from './entries.ts';

/**
 * Number of the rules by which this program makes records: the formulas of uncertainty, outcome,
 * likelihood and plan.
 *
 * One more whenever one of these formulas changes. The rules before stay computable
 * (`src/verify/rules.ts`), and a record of theirs is kept in `tests/fixtures/records`.
 */
export const currentRules = 2;

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
