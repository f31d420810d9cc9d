import { Text } from 'ink';
import { firstCols } from './fit-text.ts';
import { leastCols, leastRows } from './layout.ts';

/** One line for a terminal below the least size; measuring goes on. */
export function TooSmall({ cols, rows }: { cols: number; rows: number }) {
  const text = `${cols}x${rows} is too small, make it ${leastCols}x${leastRows}; measuring goes on`;
  return <Text>{firstCols(text, Math.max(1, cols))}</Text>;
}
