import { Box } from 'ink';
import type { ConclusionView, RepairRow } from '../../../view/job/isolation.ts';
import type { JobView } from '../../../view/job/job-view.ts';
import { fitText, wrapLines } from '../../../view/text/fit-text.ts';
import { outcomeWords, type Tone } from '../../../view/words/outcome.ts';
import { bigText } from '../parts/big-text.ts';
import type { Layout } from '../parts/layout.ts';
import { Line } from '../parts/row.tsx';
import { drawable, markText, strokesOf, type Theme } from '../parts/theme.ts';

interface ConclusionProps {
  view: JobView;
  conclusion: ConclusionView;
  layout: Layout;
  theme: Theme;
}

interface Told {
  text: string;
  tone: Tone;
}

/**
 * What the checks come to: the word, why, what may be done about it at what price, and what was not
 * tested.
 */
export function ConclusionPanel({ view, conclusion, layout, theme }: ConclusionProps) {
  const { leftCols, bodyRows } = layout;
  const cols = leftCols - 1;
  const word = bodyRows < 24 ? null : bigText(conclusion.word, cols, 5, strokesOf(theme).block);
  const head: Told[] =
    word === null
      ? wrapLines(`${conclusion.word}: ${conclusion.saying}`, cols, 2).map(strong)
      : [
          ...word.lines.map((text): Told => ({ text, tone: 'strong' })),
          blank,
          ...wrapLines(conclusion.saying, cols, 2).map(strong),
        ];
  const foot = view.question?.kind === 'repair' ? doing(view.question.text, cols) : choices(conclusion, cols, theme);
  const room = bodyRows - head.length - foot.length;
  const told = [...head, ...reasonsOf(conclusion, cols, room, theme), ...foot].slice(0, bodyRows);
  return (
    <Box flexDirection="column" width={leftCols} height={bodyRows} paddingRight={1} overflow="hidden">
      {told.map(({ text, tone }, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={text} tone={tone} theme={theme} />
      ))}
    </Box>
  );
}

const blank: Told = { text: '', tone: 'plain' };
const strong = (text: string): Told => ({ text, tone: 'strong' });
const plain = (text: string): Told => ({ text, tone: 'plain' });

/**
 * Why, as far as there is room: doubts first, then the reasons, before beside after, and what was
 * not tested, which always has a line.
 */
function reasonsOf(conclusion: ConclusionView, cols: number, room: number, theme: Theme): Told[] {
  const { doubt, reasons, beyond, changes, notTested } = conclusion;
  const told: Told[] = [];
  const tell = (text: string, tone: Tone = 'plain', kept = notTested.length > 0 ? 1 : 0): void => {
    const left = room - told.length - 1 - kept;
    if (left > 0) told.push(...wrapLines(text, cols, Math.min(4, left)).map((line) => ({ text: line, tone })));
  };
  if (doubt !== null) tell(`In doubt: ${doubt}`, 'doubt');
  for (const reason of reasons) tell(`- ${reason}`);
  if (beyond !== null) tell(`To part them: ${beyond}`);
  for (const change of changes) tell(changeText(change, theme));
  if (notTested.length > 0) tell(`Not tested (${notTested.length}): ${notTested.join('; ')}`, 'plain', 0);
  return [...told, blank];
}

function changeText({ title, before, after }: ConclusionView['changes'][number], theme: Theme): string {
  const said = (outcome: typeof before): string => {
    if (outcome === null) return 'not done';
    const { word, mark } = outcomeWords[outcome];
    return `${markText(mark, theme)} ${word}`;
  };
  return `${title}: before ${said(before)}, after ${said(after)}`;
}

/** Repairs that may be chosen, with chance, price and minutes in columns. */
function choices({ repairs, cost }: ConclusionView, cols: number, theme: Theme): Told[] {
  const costs = cost.flatMap((line) => wrapLines(line, cols, 2)).map(plain);
  if (repairs.length === 0) return [strong('0  close the job without a repair'), ...costs];
  const numbers = `${'chance'.padStart(7)}${'price'.padStart(9)}${'time'.padStart(8)}`;
  const nameCols = cols - 3 - numbers.length;
  return [
    plain(`${'   What may be done'.padEnd(nameCols + 3)}${numbers}`),
    ...repairs.map((row) => strong(repairLine(row, nameCols, theme))),
    strong('0  close the job without a repair'),
    ...costs,
  ];
}

function repairLine({ key, name, chance, price, minutes }: RepairRow, cols: number, theme: Theme): string {
  return `${key}  ${fitText(drawable(name, theme), cols)}${chance.padStart(7)}${price.padStart(9)}${minutes.padStart(8)}`;
}

function doing(name: string, cols: number): Told[] {
  return [
    ...wrapLines(`Do this: ${name}`, cols, 3).map(strong),
    plain('First: device off, battery disconnected.'),
    blank,
    strong('y  it is done     n  not done'),
  ];
}
