import cliTruncate from 'cli-truncate';
import stringWidth from 'string-width';
import wrapAnsi from 'wrap-ansi';
import { sureColumns } from './sure-columns.ts';

/** Stands where something was left out; ASCII, so that every terminal has it. */
const cutSign = '..';

/** Returns how many columns a text takes on a terminal. */
export function columnsOf(text: string): number {
  return stringWidth(sureColumns(text));
}

/** Returns a text of at most `cols` columns as a terminal shows it; what is cut ends in `..`. */
export function cutText(text: string, cols: number): string {
  if (cols <= cutSign.length) return firstCols(text, cols);
  return cliTruncate(sureColumns(text), cols, { truncationCharacter: cutSign });
}

/** Returns what of a text fits into `cols` columns, with no sign that it was cut. */
export function firstCols(text: string, cols: number): string {
  return cols <= 0 ? '' : cliTruncate(sureColumns(text), cols, { truncationCharacter: '' });
}

/** Returns the end of a text, as of a line that is being typed; what is cut before it shows as `..`. */
export function endCols(text: string, cols: number): string {
  return cols <= 0 ? '' : cliTruncate(sureColumns(text), cols, { position: 'start', truncationCharacter: cutSign });
}

/**
 * Returns a text of just `cols` columns, cut or filled with blanks, so that what stands beside it
 * never moves.
 */
export function fitText(text: string, cols: number): string {
  const cut = cutText(text, cols);
  return `${cut}${' '.repeat(Math.max(0, cols - stringWidth(cut)))}`;
}

/**
 * Returns a text in lines of at most `cols` columns; at most `most` lines, the last one cut when
 * there is more.
 */
export function wrapLines(text: string, cols: number, most: number): string[] {
  const whole = sureColumns(text).trim();
  if (whole === '' || cols <= 0 || most <= 0) return [];
  const lines = wrapAnsi(whole, cols, { hard: true }).split('\n');
  if (lines.length <= most) return lines;
  const kept = lines.slice(0, most - 1);
  return [...kept, cutText(lines.slice(most - 1).join(' '), cols)];
}
