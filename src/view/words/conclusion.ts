import type { EntryOf } from '../../record/entries/entries.ts';
import { percent } from '../../statistics/percent.ts';
import { listedLines } from './list.ts';
import { costLines, minutesText, moneyText } from './plan.ts';

/** Returns what isolation came to, as plain lines: decisions, reasons, plan with its cost, what was not tested. */
export function concludedLines(
  entry: EntryOf<'concluded'>,
  titleOf: (check: string) => string,
  isRepaired: boolean,
): string[] {
  const { conclusion, decisions, reasons, doubt, beyond, plan, notTested } = entry;
  const lines: string[] = [
    conclusion === 'none' && isRepaired ? 'Conclusion: nothing is wrong any more.' : headOf[conclusion],
  ];
  for (const { name, p } of decisions) lines.push(`  ${percent(p)} ${name}`);
  if (doubt !== null) lines.push(`  in doubt: ${doubt}`);
  for (const reason of reasons) lines.push(`  - ${reason}`);
  if (beyond !== null) lines.push(`  to tell them apart: ${beyond}`);
  plan.steps.forEach(({ name, p, price, minutes }, i) => {
    const cost = `${moneyText(price, plan.currency)}, ${minutesText(minutes)}`;
    lines.push(`  repair ${i + 1}: ${name} (${percent(p)} that it helps; ${cost})`);
  });
  lines.push(...costLines(plan, plan.currency).map((line) => `  ${line}`));
  // where a fault was found, or mended, the number will do for a long list: the job's summary names them
  const isNamed = conclusion !== 'fault' && !(conclusion === 'none' && isRepaired);
  const titles = notTested.map(titleOf);
  if (titles.length > fewTitles && !isNamed) lines.push(`  not tested: ${titles.length} checks`);
  else if (titles.length > fewTitles) lines.push(...listedLines('  not tested', titles));
  else if (titles.length > 0) lines.push(`  not tested: ${titles.join('; ')}`);
  return lines;
}

/** So many checks are named on one line. */
const fewTitles = 3;

const headOf = {
  fault: 'Conclusion: a fault was found.',
  group: 'Conclusion: no check left tells enough to part these.',
  none: 'Conclusion: no fault found.',
  open: 'Conclusion: not decided yet.',
} as const;
