import { Box } from 'ink';
import type { ScreenView } from '../bench/screen-view.ts';
import { outcomeWord, type Tone } from '../bench/ui-words.ts';
import { Line } from './row.tsx';
import { markText, type Theme } from './theme.ts';

/** Two rows: what is being typed, asked or said, and the keys that work now. */
export function Footer({ view, isNarrow, theme }: { view: ScreenView; isNarrow: boolean; theme: Theme }) {
  const { text, tone } = sayingOf(view, isNarrow, theme);
  return (
    <Box flexDirection="column" height={2} flexShrink={0}>
      <Line text={text} tone={tone} theme={theme} />
      <Line text={hintOf(view)} tone="quiet" theme={theme} />
    </Box>
  );
}

function sayingOf(view: ScreenView, isNarrow: boolean, theme: Theme): { text: string; tone: Tone } {
  if (view.message !== null) return { text: view.message, tone: 'doubt' };
  if (view.line !== null) return { text: `${view.line.label}: ${view.line.text}_`, tone: 'strong' };
  if (view.leaving) return { text: 'Leave? The job stays open and can be resumed.', tone: 'strong' };
  if (isNarrow) return { text: narrowText(view), tone: 'plain' };
  const { last } = view;
  if (last === null || view.headline !== null) return { text: '', tone: 'plain' };
  const { word, mark } = outcomeWord(last.outcome);
  return { text: `last: ${markText(mark, theme)} ${word}  ${last.title}: ${last.why}`, tone: 'plain' };
}

/** On a narrow screen there is no list: counts and cautions stand in one row. */
function narrowText({ checks, cautions }: ScreenView): string {
  const count = (outcome: string) => checks.filter((row) => row.outcome === outcome).length;
  const counts = `${count('pass')} pass, ${count('fail')} fail of ${checks.length}`;
  return [counts, ...cautions.map(({ title }) => `! ${title}`)].join('  ');
}

function hintOf(view: ScreenView): string {
  if (view.line !== null) return 'Enter takes it   Esc goes back';
  if (view.leaving) return 'y leaves   any other key stays';
  if (view.cursor !== null) return 'up, down   Enter goes there   Esc goes back';
  if (view.question?.kind === 'caution') return 'no and Enter ends the job   Esc leaves   ? keys';
  if (view.paused) return 'p goes on   w note   ? keys   q leave';
  return 'r repeat  s skip  w note  c choose  p pause  ? keys  q leave';
}
