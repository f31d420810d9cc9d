import { Box } from 'ink';
import type { CalibrationView, RangeRow } from '../../../view/calibration/calibration-view.ts';
import { BigArea } from '../parts/big-area.tsx';
import { Header } from '../parts/header.tsx';
import { HelpPanel } from '../parts/help-panel.tsx';
import { leastCols, leastRows } from '../parts/layout.ts';
import { Line, Row, Span } from '../parts/row.tsx';
import { markText, strokesOf, type Theme } from '../parts/theme.ts';
import { TooSmall } from '../parts/too-small.tsx';

interface PartProps {
  view: CalibrationView;
  cols: number;
  rows: number;
  theme: Theme;
}

/** Columns of the list of standards beside the table, on a wide terminal. */
const listCols = 34;
const wideFrom = 112;
/** The residual scale goes this many expected sizes either way. */
const scaleEnd = 4;

/**
 * A calibration session: what to touch as large as fits, the fit of each range with its residuals,
 * what helps most next. At most `rows` - 1 rows.
 */
export function CalibrateScreen({ view, cols, rows, theme }: PartProps) {
  if (cols < leastCols || rows < leastRows) return <TooSmall cols={cols} rows={rows} theme={theme} />;
  const bodyRows = rows - 1 - 3;
  const isWide = cols >= wideFrom;
  const leftCols = isWide ? cols - listCols - 1 : cols;
  return (
    <Box flexDirection="column" width={cols} height={rows - 1} overflow="hidden">
      <Header left={view.title} right={`${view.taken}  ${view.probe}`} cols={cols} theme={theme} />
      {view.help === null ? (
        <Box height={bodyRows} flexShrink={0} overflow="hidden">
          <Left view={view} cols={leftCols} rows={bodyRows} theme={theme} />
          {isWide && <Standards view={view} cols={listCols} rows={bodyRows} theme={theme} />}
        </Box>
      ) : (
        <HelpPanel
          help={view.help}
          headline={view.headline.tone === 'danger' ? { ...view.headline, text: view.action } : null}
          cols={cols}
          rows={bodyRows}
          theme={theme}
        />
      )}
      <Footer view={view} theme={theme} />
    </Box>
  );
}

function Footer({ view, theme }: { view: CalibrationView; theme: Theme }) {
  const hint =
    view.line === null
      ? 'a add a resistor  r again  s skip  f finish  ? keys  q leave'
      : 'Enter takes it   Esc goes back';
  const { message } = view;
  const said = view.line === null || message !== null ? (message?.text ?? view.before) : '';
  return (
    <Box flexDirection="column" height={2} flexShrink={0}>
      {view.line !== null && message === null ? (
        <Line text={`resistor (value and tolerance, letters or bands): ${view.line}_`} tone="strong" theme={theme} />
      ) : (
        <Line text={said} tone={message?.tone ?? 'quiet'} theme={theme} />
      )}
      <Line text={hint} tone="quiet" theme={theme} />
    </Box>
  );
}

function Left({ view, cols, rows, theme }: PartProps) {
  const width = cols - 2;
  const bigRows = rows >= 30 ? 10 : rows >= 19 ? 5 : 1;
  const gap = rows >= 24 ? 1 : 0;
  // action, progress, gaps, heading of the table, next
  const tableRows = Math.max(0, rows - bigRows - 4 - 2 * gap);
  return (
    <Box flexDirection="column" width={cols} height={rows} paddingX={1} flexShrink={0} overflow="hidden">
      <BigArea ask={null} headline={view.headline} cols={width} rows={bigRows} theme={theme} />
      <Line text={view.action} tone="strong" theme={theme} />
      <Progress view={view} cols={width} theme={theme} />
      {gap > 0 && <Line text="" theme={theme} />}
      <Table rows={view.rows} height={tableRows} cols={width} theme={theme} />
      {gap > 0 && <Line text="" theme={theme} />}
      <Line text={view.next} tone="quiet" theme={theme} />
    </Box>
  );
}

function Progress({ view, cols, theme }: { view: CalibrationView; cols: number; theme: Theme }) {
  const { progress } = view;
  if (progress === null) return <Line text="" theme={theme} />;
  const { barOn, barOff } = strokesOf(theme);
  const text = ` setting ${Math.min(progress.done + 1, progress.of)} of ${progress.of}`;
  const width = Math.max(0, Math.min(40, cols - text.length));
  const full = Math.round(((progress.done + progress.share) / progress.of) * width);
  return (
    <Row theme={theme}>
      <Span text={barOn.repeat(full) + barOff.repeat(width - full)} theme={theme} />
      <Span text={text} theme={theme} />
    </Row>
  );
}

/** Columns of the table beside the residuals. */
const columns = { name: 10, points: 4, source: 21, probability: 8, verdict: 13 } as const;
/** Narrower, the source resistor gives way to the residuals. */
const sourceFrom = 74;

function Table({ rows, height, cols, theme }: { rows: RangeRow[]; height: number; cols: number; theme: Theme }) {
  const { name, points, probability, verdict } = columns;
  const source = cols < sourceFrom ? 0 : columns.source;
  const room = cols - name - points - source - probability - verdict - 1;
  // odd, so that zero has a place of its own
  const width = 2 * Math.floor((Math.min(41, Math.max(11, room)) - 1) / 2) + 1;
  const scale = `-${scaleEnd}..${scaleEnd}`;
  const residuals = width > scale.length + 10 ? `residuals ${scale}` : scale;
  const head = [
    'range'.padEnd(name),
    'n'.padStart(2).padEnd(points),
    source === 0 ? '' : 'source resistor, u'.padEnd(source),
    residuals.padEnd(width + 1),
    'P'.padEnd(probability),
  ];
  return (
    <Box flexDirection="column" height={height + 1} flexShrink={0} overflow="hidden">
      <Line text={rows.length === 0 ? '' : head.join('')} tone="quiet" theme={theme} />
      {rows.map((row) => (
        <Row key={row.name} theme={theme}>
          <Span text={row.name.padEnd(name) + String(row.points).padStart(2).padEnd(points)} theme={theme} />
          {source > 0 && <Span text={row.source.padEnd(source)} theme={theme} />}
          <Span text={`${strip(row, width, theme)} `} theme={theme} />
          <Span text={row.probability.padEnd(probability)} theme={theme} />
          <Span text={`${markText(row.mark, theme)} ${row.verdict}`} tone={row.tone} theme={theme} />
        </Row>
      ))}
    </Box>
  );
}

/**
 * Residuals as marks over -4..4: `o` a point, a digit several, `x` one that does not belong; at the
 * ends what lies beyond.
 */
function strip({ residuals }: RangeRow, width: number, theme: Theme): string {
  if (residuals.length === 0) return ' '.repeat(width);
  const { offLow, offHigh, line } = strokesOf(theme);
  const half = (width - 1) / 2;
  const cells = Array.from({ length: width }, (_, i) => (i === half ? '|' : line));
  const counts = new Map<number, { n: number; out: boolean }>();
  for (const { standardised, used } of residuals) {
    const at = Math.max(0, Math.min(width - 1, Math.round(half + (standardised / scaleEnd) * half)));
    const cell = counts.get(at) ?? { n: 0, out: false };
    const beyond = Math.abs(standardised) > scaleEnd;
    counts.set(at, { n: cell.n + 1, out: cell.out || !used || beyond });
  }
  for (const [at, { n, out }] of counts) {
    const end = at === 0 ? offLow : at === width - 1 ? offHigh : 'x';
    cells[at] = out ? end : n === 1 ? 'o' : n < 10 ? String(n) : '+';
  }
  return cells.join('');
}

function Standards({ view, cols, rows, theme }: PartProps) {
  const { standards } = view;
  const now = Math.max(
    0,
    standards.findIndex(({ mark }) => mark === 'now'),
  );
  const from = Math.max(0, Math.min(now - Math.floor(rows / 2), standards.length - rows));
  return (
    <Box flexDirection="column" width={cols} height={rows} flexShrink={0} overflow="hidden">
      {standards.slice(from, from + rows).map(({ label, mark, tone }) => (
        <Line key={label} text={`${markText(mark, theme)} ${label}`} tone={tone} theme={theme} />
      ))}
    </Box>
  );
}
