import type { Guide } from '../../guide/types.ts';
import type { Outcome } from '../../measure/types.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { boundedText } from './bounded-text.ts';
import type { DoneRow, UnitRow } from './ledger-rows.ts';

type Repair = JobState['repairs'][number];

/** Returns the repairs of a job, what each cost by the guide, and whether it helped. */
export function repairsIn(state: JobState, guide: Guide | null): DoneRow[] {
  return state.repairs.map((repair, i) => {
    const inGuide = guide?.repairs.find(({ id }) => id === repair.repair);
    const unit = guide?.units.find(({ id }) => id === repair.unit);
    return {
      n: repair.n,
      what: repair.what,
      name: boundedText(repair.repair ?? repair.unit ?? ''),
      title: boundedText(inGuide?.name ?? unit?.name ?? repair.text),
      price: inGuide?.price ?? null,
      currency: inGuide === undefined ? null : boundedText(guide?.currency ?? ''),
      helped: hasHelped(state, i),
    };
  });
}

/** Returns the units that were found at fault, and those that something was done to. */
export function unitsIn(state: JobState, guide: Guide | null): UnitRow[] {
  const found = foundUnits(state).map(
    (unit): UnitRow => ({ n: state.found!.n, unit: boundedText(unit), act: 'found', helped: false }),
  );
  const done = state.repairs.flatMap((repair, i) =>
    unitsOf(repair, guide).map(
      (unit): UnitRow => ({ n: repair.n, unit: boundedText(unit), act: 'repaired', helped: hasHelped(state, i) }),
    ),
  );
  return [...found, ...done];
}

/** A decision is a unit, `UNIT|UNIT` for what joins two, or several of these joined by ` + `. */
function foundUnits({ found, result }: JobState): string[] {
  if (found === null || result === 'passed' || result === 'no-fault-found') return [];
  const named = (found.decisions[0]?.id ?? '').split(/\||\s\+\s/).filter((unit) => unit !== '');
  return [...new Set(named)];
}

/** The units that a repair is done to: those of the links that it fixes, or the one that was swapped. */
function unitsOf({ repair, unit }: Repair, guide: Guide | null): string[] {
  if (unit !== null) return [unit];
  const fixes = guide?.repairs.find(({ id }) => id === repair)?.fixes ?? [];
  const links = fixes.flatMap(({ link }) => guide?.links.find(({ id }) => id === link) ?? []);
  return [...new Set(links.flatMap((link) => link.unit ?? link.between ?? []))];
}

/**
 * A check that stood failed right before it passed right after it, or the job ended as repaired and
 * nothing was done after it.
 */
function hasHelped({ repairs, checks, result, closed }: JobState, i: number): boolean {
  if (closed !== null && result === 'repaired' && i === repairs.length - 1) return true;
  const before = repairs[i - 1]?.n ?? 0;
  const { n } = repairs[i]!;
  const after = repairs[i + 1]?.n ?? Number.POSITIVE_INFINITY;
  const isFault = (outcome: Outcome): boolean => outcome === 'fail' || outcome === 'unsteady';
  return Object.values(checks).some(({ attempts }) => {
    const stood = attempts.filter((attempt) => attempt.n > before && attempt.n < n).at(-1);
    const next = attempts.filter((attempt) => attempt.n > n && attempt.n < after).at(-1);
    return stood !== undefined && isFault(stood.outcome) && next?.outcome === 'pass';
  });
}
