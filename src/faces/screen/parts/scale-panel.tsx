import { Box } from 'ink';
import type { Needle, Scale } from '../../../view/readings/scale.ts';
import { Line, Row, Span } from './row.tsx';
import { type Strokes, strokesOf, type Theme } from './theme.ts';

interface ScaleProps {
  scale: Scale | null;
  needle: Needle | null;
  cols: number;
  theme: Theme;
}

/** Two rows: the scale with its limit band and the needle on it, and the tick labels. */
export function ScalePanel({ scale, needle, cols, theme }: ScaleProps) {
  if (scale === null) return <Box height={2} flexShrink={0} />;
  const strokes = strokesOf(theme);
  const place = (at: number) => Math.round(at * (cols - 1));
  const bar = Array.from({ length: cols }, () => strokes.line);
  for (const tick of scale.ticks) bar[place(tick.at)] = strokes.tick;
  if (scale.band !== null) drawBand(bar, place(scale.band.from), place(scale.band.to), strokes);
  const at = needle === null ? null : place(needle.at);
  if (at === null) {
    return (
      <Box flexDirection="column" height={2} flexShrink={0}>
        <Line text={bar.join('')} theme={theme} />
        <Line text={labels(scale, cols)} tone="quiet" theme={theme} />
      </Box>
    );
  }
  const mark = needle?.off === 'low' ? strokes.offLow : needle?.off === 'high' ? strokes.offHigh : strokes.needle;
  return (
    <Box flexDirection="column" height={2} flexShrink={0}>
      <Row theme={theme}>
        <Span text={bar.slice(0, at).join('')} theme={theme} />
        <Span text={mark} tone="danger" theme={theme} />
        <Span text={bar.slice(at + 1).join('')} theme={theme} />
      </Row>
      <Line text={labels(scale, cols)} tone="quiet" theme={theme} />
    </Box>
  );
}

function drawBand(bar: string[], from: number, to: number, strokes: Strokes): void {
  for (let i = from; i <= to; i++) bar[i] = strokes.band;
  bar[from] = strokes.limitLow;
  bar[to] = strokes.limitHigh;
}

/** Labels centred under their ticks; one that would touch its neighbour is left out. */
function labels(scale: Scale, cols: number): string {
  let line = '';
  for (const { at, text } of scale.ticks) {
    const middle = Math.round(at * (cols - 1) - text.length / 2);
    const start = Math.max(0, Math.min(cols - text.length, middle));
    if (line !== '' && start < line.length + 1) continue;
    line = `${line.padEnd(start)}${text}`;
  }
  return line;
}
