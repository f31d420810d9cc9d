import wrapAnsi from 'wrap-ansi';

/** Narrower than this, a hanging indent would leave no room for words. */
const leastCols = 40;

/**
 * Returns a plain line in rows of at most `cols` columns, broken between words; rows after the
 * first stand two columns further in. Without columns (a pipe, a file) a line stays one.
 */
export function folded(line: string, cols: number | undefined): string[] {
  if (cols === undefined || cols < leastCols) return [line];
  const [, indent = '', words = ''] = /^( *)(.*)$/su.exec(line) ?? [];
  const [first = '', ...more] = wrapAnsi(words, cols - indent.length - 2, { hard: true }).split('\n');
  return [`${indent}${first}`, ...more.map((row) => `${indent}  ${row}`)];
}
