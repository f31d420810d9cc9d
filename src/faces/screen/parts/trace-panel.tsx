import { Box } from 'ink';
import type { Scale } from '../../../view/readings/scale.ts';
import { type TracePoint, traceColumns } from '../../../view/readings/trace.ts';
import { Row, Span } from './row.tsx';
import { type Strokes, strokesOf, type Theme } from './theme.ts';

interface TraceProps {
  trace: readonly TracePoint[];
  band: Scale['band'];
  cols: number;
  rows: number;
  theme: Theme;
}

/**
 * The last two seconds on the scale's own range, from left to right; the limits are drawn behind as
 * dotted rows.
 */
export function TracePanel({ trace, band, cols, rows, theme }: TraceProps) {
  if (rows === 0) return null;
  const width = cols - label.length;
  const columns = traceColumns(trace, width);
  const strokes = strokesOf(theme);
  const dotted = limitRows(band, rows);
  const lines = Array.from({ length: rows }, (_, row) =>
    columns
      .map((column) => {
        const cell = column === null ? ' ' : halves(column.low, column.high, rows - 1 - row, rows, strokes);
        return cell === ' ' && dotted.includes(row) ? '.' : cell;
      })
      .join(''),
  );
  return (
    <Box flexDirection="column" height={rows} flexShrink={0}>
      {lines.map((line, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Row key={row} theme={theme}>
          <Span text={row === rows - 1 ? label : ' '.repeat(label.length)} tone="quiet" theme={theme} />
          <Span text={line} theme={theme} />
        </Row>
      ))}
    </Box>
  );
}

const label = '2 s ';

/** Each cell has an upper and a lower half; `up` counts cells from the bottom. */
function halves(low: number, high: number, up: number, rows: number, strokes: Strokes): string {
  const steps = rows * 2;
  const step = (height: number) => Math.min(steps - 1, Math.max(0, Math.floor(height * steps)));
  const inside = (half: number) => half >= step(low) && half <= step(high);
  const lower = inside(up * 2);
  const upper = inside(up * 2 + 1);
  if (lower && upper) return strokes.full;
  if (lower) return strokes.lower;
  return upper ? strokes.upper : ' ';
}

function limitRows(band: Scale['band'], rows: number): number[] {
  if (band === null || rows < 4) return [];
  const rowOf = (at: number) => rows - 1 - Math.min(rows - 1, Math.floor(at * rows));
  return [band.from, band.to].filter((at) => at > 0 && at < 1).map(rowOf);
}
