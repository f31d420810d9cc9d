import xterm from '@xterm/headless';
import { renderToString } from 'ink';
import type { ReactElement } from 'react';
import type { Theme } from '../../src/faces/screen/parts/theme.ts';

export const sizes = [
  [60, 16],
  [80, 24],
  [100, 30],
  [120, 40],
] as const;

export const unicode: Theme = { colour: false, unicode: true, background: 'dark' };
export const ascii: Theme = { colour: false, unicode: false, background: 'dark' };

/** Returns a frame as it goes to the terminal. */
export function frameOf(element: ReactElement, cols: number): string {
  return renderToString(element, { columns: cols });
}

/** Returns the rows that a person sees of a frame, by a terminal emulator of that size; also how many rows were wrapped or scrolled away. */
export async function seenOf(frame: string, cols: number, rows: number): Promise<{ lines: string[]; broken: number }> {
  const terminal = new xterm.Terminal({ cols, rows, allowProposedApi: true, scrollback: 1000, convertEol: true });
  await new Promise<void>((resolve) => terminal.write(frame, resolve));
  const buffer = terminal.buffer.active;
  const all = Array.from({ length: buffer.length }, (_, y) => buffer.getLine(y)!);
  const wrapped = all.filter((line) => line.isWrapped).length;
  const lines = all.map((line) => line.translateToString(true));
  const broken = wrapped + buffer.baseY;
  terminal.dispose();
  return { lines, broken };
}
