import { budgetLines } from '../measure/reading/budget-lines.ts';
import { codeStatistics } from '../measure/reading/code-statistics.ts';
import type { UncertaintyPart } from '../measure/types.ts';
import type { Entry } from '../record/entries/entries.ts';

/**
 * Returns the uncertainty budget of an entry's reading as lines; none where nothing was read, or
 * the record is of before parts were kept.
 */
export function entryBudget(entry: Entry): string[] {
  if (entry.kind !== 'capture' && entry.kind !== 'proof') return [];
  const { reading } = entry;
  if (reading?.parts === undefined || reading.state === 'unreadable') return [];
  const quantity = entry.kind === 'capture' ? entry.quantity : 'resistance';
  const { u, dof } = reading;
  const dofRepeat = codeStatistics(entry.capture?.window.codes ?? [])?.dofRepeat;
  const parts = Object.entries(reading.parts).map(([name, part]): UncertaintyPart => {
    // degrees of freedom of a part are not stored: they follow from the codes
    const isTypeA = name === 'repeatability' && dofRepeat !== undefined && Number.isFinite(dofRepeat);
    return { name, u: part, ...(isTypeA ? { dof: dofRepeat } : {}) };
  });
  return budgetLines({ quantity, u, dof, parts });
}
