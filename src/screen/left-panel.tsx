import { Box } from 'ink';
import type { ScreenView } from '../bench/screen-view.ts';
import type { Ask } from '../bench/ui-ask.ts';
import { BigArea } from './big-area.tsx';
import { type Layout, wrapLines } from './layout.ts';
import { ReadingPanel } from './reading-panel.tsx';
import { Line, Row, Said } from './row.tsx';
import { ScalePanel } from './scale-panel.tsx';
import type { Theme } from './theme.ts';
import { TracePanel } from './trace-panel.tsx';

/** What the tips do: what to touch, where, the reading, its scale, its trace. */
export function LeftPanel({ view, layout, theme }: { view: ScreenView; layout: Layout; theme: Theme }) {
  const { left, leftCols } = layout;
  const cols = leftCols - 1;
  const { ask, headline, scale } = view;
  const tone = view.reading.held && headline !== null ? headline.tone : 'strong';
  return (
    <Box flexDirection="column" width={leftCols} paddingRight={1} overflow="hidden">
      <Row theme={theme}>
        <Said text={ask?.title ?? ''} tone="strong" theme={theme} />
        <Said text={ask?.retry == null ? '' : `  try ${ask.retry.n} of ${ask.retry.of}`} tone="doubt" theme={theme} />
      </Row>
      <StateLine ask={ask} theme={theme} />
      <Line text={actionText(ask)} tone="strong" theme={theme} />
      {left.gaps > 0 && <Line text="" theme={theme} />}
      <BigArea ask={ask} headline={headline} cols={cols} rows={left.big} theme={theme} />
      {left.gaps > 2 && <Line text="" theme={theme} />}
      <Places view={view} cols={cols} theme={theme} />
      {left.how > 0 && <How text={headline === null ? (ask?.how ?? '') : ''} cols={cols} rows={left.how} theme={theme} />}
      {left.gaps > 1 && <Line text="" theme={theme} />}
      <ReadingPanel
        reading={view.reading}
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

/** Power and state of disassembly; a change of power stands out. */
export function StateLine({ ask, theme }: { ask: Ask | null; theme: Theme }) {
  if (ask?.power == null) return <Line text="" theme={theme} />;
  const { to, change } = ask.power;
  const word = change ? ` SWITCH ${to === 'on' ? 'ON' : 'OFF, BATTERY OUT'} ` : `POWER ${to.toUpperCase()}`;
  return (
    <Row theme={theme}>
      <Said text={word} tone={change ? 'danger' : 'strong'} theme={theme} />
      <Said text={ask.access === null ? '' : `  ${ask.access}`} theme={theme} />
    </Row>
  );
}

function actionText(ask: Ask | null): string {
  if (ask === null) return '';
  const { presses } = ask;
  return presses === null ? ask.action : `${ask.action}  ${presses.done} of ${presses.of}`;
}

/** Where the pads are; in their place, the sentence of the headline. */
function Places({ view, cols, theme }: { view: ScreenView; cols: number; theme: Theme }) {
  const { headline, ask } = view;
  const lines =
    headline !== null
      ? wrapLines(headline.text, cols, 2)
      : (ask?.pads ?? []).map(({ tip, pad, where }) => `${tip}: ${pad}  ${where}`);
  return (
    <Box flexDirection="column" height={2} flexShrink={0} overflow="hidden">
      {lines.slice(0, 2).map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={line} theme={theme} />
      ))}
    </Box>
  );
}

function How({ text, cols, rows, theme }: { text: string; cols: number; rows: number; theme: Theme }) {
  return (
    <Box flexDirection="column" height={rows} flexShrink={0} overflow="hidden">
      {wrapLines(text, cols, rows).map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={line} tone="quiet" theme={theme} />
      ))}
    </Box>
  );
}
