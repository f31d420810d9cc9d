import { Box } from 'ink';
import stringWidth from 'string-width';
import { percent } from '../../../statistics/percent.ts';
import type { JobView } from '../../../view/job/job-view.ts';
import { cutText, endCols } from '../../../view/text/fit-text.ts';
import { outcomeWords, type Tone } from '../../../view/words/outcome.ts';
import { Line } from '../parts/row.tsx';
import { markText, type Theme } from '../parts/theme.ts';

interface FooterProps {
  view: JobView;
  isNarrow: boolean;
  cols: number;
  theme: Theme;
}

/** Two rows: what is being typed, asked or said, and the keys that work now. */
export function Footer({ view, isNarrow, cols, theme }: FooterProps) {
  const { text, tone } =
    view.line !== null && view.message === null ? typed(view.line, cols) : sayingOf(view, isNarrow, theme);
  return (
    <Box flexDirection="column" height={2} flexShrink={0}>
      <Line text={text} tone={tone} theme={theme} />
      <Line text={hintOf(view)} tone="quiet" theme={theme} />
    </Box>
  );
}

/** The end of a long text stays in sight, where it is typed on. */
function typed({ label, text }: { label: string; text: string }, cols: number): { text: string; tone: Tone } {
  const room = cols - Math.min(stringWidth(text) + 1, Math.floor(cols / 2));
  const head = cutText(`${label}: `, room);
  return { text: `${head}${endCols(`${text}_`, cols - stringWidth(head))}`, tone: 'strong' };
}

function sayingOf(view: JobView, isNarrow: boolean, theme: Theme): { text: string; tone: Tone } {
  if (view.message !== null) return { text: view.message, tone: 'doubt' };
  if (view.unit !== null) return { text: swapText(view), tone: 'strong' };
  if (view.leaving) return { text: 'Leave? The job stays open and can be resumed.', tone: 'strong' };
  if (isNarrow) return { text: narrowText(view, theme), tone: 'plain' };
  if (view.beforeRepair !== null) {
    const { word, mark } = outcomeWords[view.beforeRepair.outcome];
    return { text: `before the repair: ${markText(mark, theme)} ${word}  ${view.beforeRepair.why}`, tone: 'plain' };
  }
  if (view.next !== null) return { text: `next: ${view.next.check}, because ${view.next.why}`, tone: 'plain' };
  if (view.because !== null && view.headline === null) return { text: `because ${view.because}`, tone: 'plain' };
  if (view.concluded !== null && view.headline === null)
    return { text: `concluded: ${view.concluded}`, tone: 'strong' };
  const { last } = view;
  if (last === null || view.headline !== null) return { text: '', tone: 'plain' };
  const { word, mark } = outcomeWords[last.outcome];
  return { text: `last: ${markText(mark, theme)} ${word}  ${last.title}: ${last.why}`, tone: 'plain' };
}

function swapText({ units, unit }: JobView): string {
  const at = units.findIndex(({ id }) => id === unit);
  return `Swapped for a known-good one: ${units[at]?.name ?? ''}  (${at + 1} of ${units.length})`;
}

/** On a narrow screen there is no list: counts, the first suspect and cautions stand in one row. */
function narrowText({ checks, cautions, suspects }: JobView, theme: Theme): string {
  const count = (outcome: string) => checks.filter((row) => row.outcome === outcome).length;
  const counts = `${count('pass')} pass, ${count('fail')} fail of ${checks.length}`;
  const first = suspects.slice(0, 1).map(({ text, share }) => `${text} ${percent(share)}`);
  return [counts, ...first, ...cautions.map(({ title }) => `${markText('caution', theme)} ${title}`)].join('  ');
}

function hintOf(view: JobView): string {
  if (view.line !== null) return 'Enter takes it   Esc goes back';
  if (view.leaving) return 'y leaves   any other key stays';
  if (view.unit !== null) return 'up, down   Enter puts it on record   Esc goes back';
  if (view.cursor !== null) return 'up, down   Enter goes there   Esc goes back';
  if (view.question?.kind === 'caution') return 'no and Enter ends the job   Esc leaves   ? keys';
  if (view.paused) return 'p goes on   w note   ? keys   q leave';
  if (view.question?.kind === 'choose') return '1-9 chooses  0 none  c check  x swapped  ? keys  q leave';
  if (view.question?.kind === 'repair') return 'y done   n not done   x swapped   w note   ? keys   q leave';
  if (!view.link.ok) return 'w note  ? keys  q leave';
  // a proof is neither repeated nor skipped
  if (view.check === null) return `w note  ${view.canChoose ? 'c choose  ' : ''}p pause  ? keys  q leave`;
  return 'r repeat  s skip  w note  c choose  p pause  ? keys  q leave';
}
