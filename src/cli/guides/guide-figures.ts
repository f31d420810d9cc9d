import type { Guide } from '../../guide/types.ts';
import { listWords } from '../../isolate/belief/evidence-words.ts';
import { type Testability, testability } from '../../isolate/next/testability.ts';
import { openModel } from '../../isolate/predict/model.ts';
import { percent } from '../../statistics/percent.ts';

/** Groups and faults named in text; JSON has them all. */
const mostNamed = 5;

/** Returns how good the checks of a guide are at finding its faults and telling them apart. */
export function guideFigures(guide: Guide): Testability {
  return testability(openModel(guide));
}

/** Returns these figures in words, a line each. */
export function figureLines(guide: Guide, figures: Testability): string[] {
  const nameOf = (decision: string): string =>
    listWords(decision.split('|').map((unit) => guide.units.find(({ id }) => id === unit)?.name ?? unit));
  const lines = [
    `faults found (fault detection rate): ${percent(figures.detectionRate)} of what is likely to be wrong`,
    `of these told to one unit or contact (fault isolation rate): ${percent(figures.isolationRate)}`,
  ];
  for (const { decisions, suspects, share } of figures.ambiguity.slice(0, mostNamed)) {
    lines.push(`not told apart (${percent(share)}): ${decisions.map(nameOf).join(' / ')}: ${some(suspects)}`);
  }
  if (figures.unseen.length > 0) {
    const faults = figures.unseen.map(({ suspect, share }) => `${suspect} (${percent(share)})`);
    lines.push(`makes no check fail: ${some(faults)}`);
  }
  if (figures.useless.length > 0) lines.push(`checks that no fault changes: ${figures.useless.join(', ')}`);
  if (figures.outside.length > 0)
    lines.push(`a healthy device is outside the limits of: ${figures.outside.join(', ')}`);
  return lines;
}

function some(names: readonly string[]): string {
  const more = names.length - mostNamed;
  return more > 0 ? `${names.slice(0, mostNamed).join(', ')} and ${more} more` : names.join(', ');
}
