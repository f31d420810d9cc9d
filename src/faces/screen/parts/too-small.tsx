import { firstCols } from '../../../view/text/fit-text.ts';
import { leastCols, leastRows } from './layout.ts';
import { Span } from './row.tsx';
import type { Theme } from './theme.ts';

/** One line for a terminal below the least size; measuring goes on. */
export function TooSmall({ cols, rows, theme }: { cols: number; rows: number; theme: Theme }) {
  const text = `${cols}x${rows} is too small, make it ${leastCols}x${leastRows}; measuring goes on`;
  return <Span text={firstCols(text, Math.max(1, cols))} theme={theme} />;
}
