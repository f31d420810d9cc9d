import { Box } from 'ink';
import type { CheckRow } from '../../../view/job/check-rows.ts';
import { fitText } from '../../../view/text/fit-text.ts';
import { outcomeWords } from '../../../view/words/outcome.ts';
import { Line, Row, Span } from '../parts/row.tsx';
import { drawable, markText, type Theme } from '../parts/theme.ts';

interface ListProps {
  rows: readonly CheckRow[];
  cursor: string | null;
  cols: number;
  height: number;
  theme: Theme;
}

/**
 * The checks with mark, title and attempts; a long list is shown around the check in hand, or
 * around the cursor.
 */
export function CheckList({ rows, cursor, cols, height, theme }: ListProps) {
  const passed = rows.filter((row) => row.outcome === 'pass').length;
  const failed = rows.filter((row) => row.outcome === 'fail').length;
  const centre = rows.findIndex((row) => (cursor === null ? row.current : row.id === cursor));
  const hasBefore = rows.some((row) => row.before !== null);
  const shown = windowAround(rows, centre, height - 1);
  return (
    <Box flexDirection="column" height={height} flexShrink={0} overflow="hidden">
      <Line text={`${rows.length} checks: ${passed} pass, ${failed} fail`} tone="strong" theme={theme} />
      {shown.map((row) => (
        <CheckLine
          key={row.id}
          row={row}
          hasBefore={hasBefore}
          isCursor={row.id === cursor}
          cols={cols}
          theme={theme}
        />
      ))}
    </Box>
  );
}

interface LineProps {
  row: CheckRow;
  /** Some check was done before a repair: its outcome of then stands in a column of its own. */
  hasBefore: boolean;
  isCursor: boolean;
  cols: number;
  theme: Theme;
}

function CheckLine({ row, hasBefore, isCursor, cols, theme }: LineProps) {
  const word = row.outcome === null ? null : outcomeWords[row.outcome];
  const now = row.current ? markText('now', theme) : ' ';
  const times = row.attempts > 1 ? ` x${row.attempts}` : '';
  const doubt = row.doubtful ? ` ${markText('doubtful', theme)}` : '';
  const reading = cols >= 40 && row.reading !== '' ? `  ${row.reading.replace(/ \+\/-.*| \(.*/, '')}` : '';
  const before = hasBefore ? `${markText(row.before === null ? 'none' : outcomeWords[row.before].mark, theme)} ` : '';
  const room = cols - 4 - before.length - times.length - reading.length - doubt.length;
  return (
    <Row theme={theme}>
      <Span text={`${now}${before}`} theme={theme} />
      <Span text={`${markText(word?.mark ?? 'none', theme)} `} tone={word?.tone ?? 'plain'} theme={theme} />
      <Span text={fitText(drawable(row.title, theme), room)} inverse={isCursor} bold={row.current} theme={theme} />
      <Span text={`${reading}${times}${doubt}`} theme={theme} />
    </Row>
  );
}

/**
 * Returns the part of a list that fits, with `centre` in its middle where there is enough on both
 * sides.
 */
function windowAround<T>(rows: readonly T[], centre: number, height: number): readonly T[] {
  const most = Math.max(0, rows.length - height);
  const from = Math.min(most, Math.max(0, centre - Math.floor(height / 2)));
  return rows.slice(from, from + Math.max(0, height));
}
