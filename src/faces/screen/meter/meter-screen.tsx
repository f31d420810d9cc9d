import { Box } from 'ink';
import type { MeterView } from '../../../view/meter/meter-view.ts';
import { BigArea } from '../parts/big-area.tsx';
import { Header } from '../parts/header.tsx';
import { HelpPanel } from '../parts/help-panel.tsx';
import { leastCols, leastRows } from '../parts/layout.ts';
import { ReadingPanel } from '../parts/reading-panel.tsx';
import { Line, Row, Span } from '../parts/row.tsx';
import { ScalePanel } from '../parts/scale-panel.tsx';
import type { Theme } from '../parts/theme.ts';
import { TooSmall } from '../parts/too-small.tsx';
import { TracePanel } from '../parts/trace-panel.tsx';

interface MeterScreenProps {
  view: MeterView;
  cols: number;
  rows: number;
  theme: Theme;
}

/**
 * The meter: the reading as large as fits, scale, trace, statistics. At most `rows` - 1 rows and
 * `cols` columns.
 */
export function MeterScreen({ view, cols, rows, theme }: MeterScreenProps) {
  if (cols < leastCols || rows < leastRows) return <TooSmall cols={cols} rows={rows} theme={theme} />;
  const bodyRows = rows - 1 - 3;
  return (
    <Box flexDirection="column" width={cols} height={rows - 1} overflow="hidden">
      <Header left={view.title} right={view.link.ok ? 'probe' : 'NO PROBE'} cols={cols} theme={theme} />
      {view.help === null ? (
        <Body view={view} cols={cols} rows={bodyRows} theme={theme} />
      ) : (
        <HelpPanel help={view.help} headline={troubleOf(view)} cols={cols} rows={bodyRows} theme={theme} />
      )}
      <Line text={view.message ?? view.link.text} tone={view.message === null ? 'plain' : 'doubt'} theme={theme} />
      <Line
        text="h hold   m ohms, dry, volts   u uncertainty   z statistics anew   e export   ? keys   q leave"
        tone="quiet"
        theme={theme}
      />
    </Box>
  );
}

function Body({ view, cols, rows, theme }: MeterScreenProps) {
  const trouble = troubleOf(view);
  // scale, two rows of statistics and their gaps take six; the rest is for reading and trace
  const readingRows = rows >= 22 ? 10 : 5;
  const traceRows = Math.max(0, Math.min(12, rows - 6 - readingRows - 1));
  const width = cols - 2;
  return (
    <Box flexDirection="column" height={rows} paddingX={1} flexShrink={0} overflow="hidden">
      <Line text={trouble === null ? '' : trouble.text} tone={trouble === null ? 'plain' : 'danger'} theme={theme} />
      {trouble === null || view.reading.held ? (
        <ReadingPanel
          reading={view.reading}
          heldText="held"
          contact={view.contact}
          cols={width}
          rows={readingRows}
          tone="strong"
          theme={theme}
        />
      ) : (
        <BigArea ask={null} headline={trouble} cols={width} rows={readingRows} theme={theme} />
      )}
      <Line text="" theme={theme} />
      {view.budget === null ? (
        <>
          <ScalePanel scale={view.scale} needle={view.needle} cols={width} theme={theme} />
          <TracePanel trace={view.trace} band={view.scale.band} cols={width} rows={traceRows} theme={theme} />
          <Statistics pairs={view.statistics.slice(0, 3)} cols={width} theme={theme} />
          <Statistics pairs={view.statistics.slice(3)} cols={width} theme={theme} />
        </>
      ) : (
        <Budget lines={view.budget} rows={rows - 1 - readingRows - 1} theme={theme} />
      )}
    </Box>
  );
}

function troubleOf({ link, live }: MeterView) {
  if (!link.ok) return { word: 'NO PROBE', mark: null, tone: 'danger', text: link.text } as const;
  if (!live) return null;
  const text = 'Voltage on the tips: ohms cannot be measured. Lift them and switch the device off.';
  return { word: 'LIVE', mark: 'live', tone: 'danger', text } as const;
}

/** The largest parts come first; where not all fit, the expanded uncertainty stays in sight. */
function Budget({ lines, rows, theme }: { lines: readonly string[]; rows: number; theme: Theme }) {
  const fits = lines.length <= rows ? lines : [...lines.slice(0, rows - 1), ...lines.slice(-1)];
  const shown = fits.length === 0 ? ['  no reading, no uncertainty'] : fits;
  return shown.map((text) => <Line key={text} text={text} theme={theme} />);
}

function Statistics({ pairs, cols, theme }: { pairs: MeterView['statistics']; cols: number; theme: Theme }) {
  const each = Math.floor(cols / 3);
  return (
    <Row theme={theme}>
      {pairs.map(({ label, text }) => (
        <Span key={label} text={`${label.padEnd(8)}${text}`.padEnd(each - 1).concat(' ')} theme={theme} />
      ))}
    </Row>
  );
}
