import { Box } from 'ink';
import type { JobView, Question } from '../../../view/job/job-view.ts';
import { Header } from '../parts/header.tsx';
import { HelpPanel } from '../parts/help-panel.tsx';
import { layoutFor } from '../parts/layout.ts';
import type { Theme } from '../parts/theme.ts';
import { TooSmall } from '../parts/too-small.tsx';
import { CheckList } from './check-list.tsx';
import { ConclusionPanel } from './conclusion-panel.tsx';
import { Footer } from './footer.tsx';
import { LeftPanel } from './left-panel.tsx';
import { QuestionPanel } from './question-panel.tsx';
import { RightPanel } from './right-panel.tsx';

export interface BenchScreenProps {
  view: JobView;
  cols: number;
  rows: number;
  theme: Theme;
}

/** The live screen: a frame of at most `rows` - 1 rows and `cols` columns, whatever the texts. */
export function BenchScreen({ view, cols, rows, theme }: BenchScreenProps) {
  const layout = layoutFor(cols, rows);
  if (layout === null) return <TooSmall cols={cols} rows={rows} theme={theme} />;
  const { bodyRows, rightCols } = layout;
  return (
    <Box flexDirection="column" width={cols} height={rows - 1} overflow="hidden">
      <Header left={titleOf(view)} right={linkWord(view)} cols={cols} theme={theme} />
      <Box height={bodyRows} flexShrink={0} overflow="hidden">
        {view.help !== null ? (
          <HelpPanel help={view.help} headline={view.headline} cols={cols} rows={bodyRows} theme={theme} />
        ) : rightCols === 0 && view.cursor !== null ? (
          <CheckList rows={view.checks} cursor={view.cursor} cols={cols} height={bodyRows} theme={theme} />
        ) : view.conclusion !== null && view.headline === null ? (
          <ConclusionPanel view={view} conclusion={view.conclusion} layout={layout} theme={theme} />
        ) : isAsked(view.question) && view.headline === null ? (
          <QuestionPanel view={view} question={view.question} layout={layout} theme={theme} />
        ) : (
          <LeftPanel view={view} layout={layout} theme={theme} />
        )}
        {rightCols > 0 && view.help === null && (
          <Box paddingLeft={1} flexShrink={0}>
            <RightPanel view={view} cols={rightCols} rows={bodyRows} theme={theme} />
          </Box>
        )}
      </Box>
      <Footer view={view} isNarrow={rightCols === 0} cols={cols} theme={theme} />
    </Box>
  );
}

/** A question that has a panel of its own; a conclusion holds its own questions. */
function isAsked(question: Question | null): question is Extract<Question, { kind: 'caution' | 'look' }> {
  return question?.kind === 'caution' || question?.kind === 'look';
}

function titleOf({ job }: JobView): string {
  const revision = job.revision === '' ? '' : ` rev ${job.revision}`;
  return [`${job.device}${revision}`, job.ticket, job.id].filter((part) => part !== '').join('  |  ');
}

function linkWord({ link, paused }: JobView): string {
  if (!link.ok) return 'NO PROBE';
  return paused ? 'PAUSED' : link.probe;
}
