import { Box } from 'ink';
import type { JobView } from '../../../view/job/job-view.ts';
import { BigArea } from '../parts/big-area.tsx';
import type { Layout } from '../parts/layout.ts';
import { ReadingPanel } from '../parts/reading-panel.tsx';
import { Line, Row, Span } from '../parts/row.tsx';
import { ScalePanel } from '../parts/scale-panel.tsx';
import type { Theme } from '../parts/theme.ts';
import { TracePanel } from '../parts/trace-panel.tsx';
import { ActionLine, accessText, askTexts, Details } from './ask-lines.tsx';

/** What the tips do: what to touch, where, the reading, its scale, its trace. */
export function LeftPanel({ view, layout, theme }: { view: JobView; layout: Layout; theme: Theme }) {
  const { left, leftCols } = layout;
  const cols = leftCols - 1;
  const { ask, headline, scale } = view;
  const tone = view.reading.held && headline !== null ? headline.tone : 'strong';
  // what comes before any touch stands above the pads; where that row is missing, below them
  const isFirst = left.gaps > 0 && headline === null && ask?.access?.change === true;
  const texts = askTexts(ask, cols, left.details, isFirst);
  return (
    <Box flexDirection="column" width={leftCols} paddingRight={1} overflow="hidden">
      <Row theme={theme}>
        <Span text={ask?.title ?? ''} tone="strong" theme={theme} />
        <Span text={ask?.retry == null ? '' : `  try ${ask.retry.n} of ${ask.retry.of}`} tone="doubt" theme={theme} />
      </Row>
      <ActionLine ask={ask} theme={theme} />
      {left.gaps > 0 && (
        <Line text={isFirst ? ` ${accessText(ask!.access)} ` : ''} tone={isFirst ? 'danger' : 'plain'} theme={theme} />
      )}
      <BigArea ask={ask} headline={headline} cols={cols} rows={left.big} theme={theme} />
      {left.gaps > 2 && <Line text="" theme={theme} />}
      <Details details={texts.details} headline={headline} cols={cols} rows={left.details} theme={theme} />
      {left.gaps > 1 && <Line text="" theme={theme} />}
      <ReadingPanel
        reading={view.reading}
        before={headline === null ? texts.beforeNumber : []}
        contact={view.contact}
        cols={cols}
        rows={left.reading}
        tone={tone}
        theme={theme}
      />
      <ScalePanel scale={scale?.scale ?? null} needle={scale?.needle ?? null} cols={cols} theme={theme} />
      <TracePanel
        trace={scale === null ? [] : view.trace}
        band={scale?.scale.band ?? null}
        cols={cols}
        rows={left.trace}
        theme={theme}
      />
    </Box>
  );
}
