import { coverageFactor } from '../../statistics/distributions/distribution.ts';
import type { Quantity, Reading, UncertaintyPart } from '../types.ts';
import { formatQuantity } from './format.ts';

/** What a budget is made of; readings as measured and as stored have it. */
export interface Budgeted {
  quantity: Quantity;
  u: number;
  dof: number;
  parts: readonly UncertaintyPart[];
}

/** From so many degrees of freedom on, nobody counts them. */
const many = 10_000;

/**
 * Returns an uncertainty budget as lines (JCGM 100:2008, 7.2.7): each part with its standard
 * uncertainty, its share of the variance and its degrees of freedom, then the combined uncertainty
 * and the expanded one for 95 %. The largest part comes first.
 */
export function budgetLines({ quantity, u, dof, parts }: Budgeted): string[] {
  const row = (name: string, text: string, share: string, free: string): string =>
    `  ${name.padEnd(18)}${text.padStart(14)}${share.padStart(8)}${free.padStart(8)}`;
  const short = (value: number): string => formatQuantity(Number(value.toPrecision(2)), quantity);
  const k = coverageFactor(0.95, dof);
  const lines = [row('part', 'u', 'share', 'dof')];
  for (const part of [...parts].sort((a, b) => b.u - a.u)) {
    const share = u === 0 ? 0 : (100 * part.u * part.u) / (u * u);
    lines.push(row(part.name, short(part.u), `${share.toFixed(1)} %`, dofText(part.dof)));
  }
  lines.push(row('combined', short(u), '', dofText(dof)));
  lines.push(row('expanded (95 %)', short(k * u), '', `k ${k.toFixed(2)}`));
  return lines;
}

/** Returns the budget of a reading as measured. */
export function readingBudget(reading: Reading): string[] {
  return reading.state === 'unreadable' ? [] : budgetLines(reading);
}

function dofText(dof: number | undefined): string {
  if (dof === undefined || dof >= many) return 'many';
  return dof >= 10 ? dof.toFixed(0) : dof.toFixed(1);
}
