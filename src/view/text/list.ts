import stringWidth from 'string-width';

/** Width that a list is set in: the narrowest terminal that is usual, and a mail. */
const listCols = 78;

/**
 * Returns a list in lines: how many first, `not tested (3):`, then the items, as many to a line as
 * fit, indented by two more than the head.
 */
export function listedLines(head: string, items: readonly string[]): string[] {
  const indent = `${' '.repeat(head.length - head.trimStart().length)}  `;
  const lines: string[] = [];
  items.forEach((item, i) => {
    const text = i < items.length - 1 ? `${item};` : item;
    const last = lines.at(-1);
    if (last !== undefined && stringWidth(last) + 1 + stringWidth(text) <= listCols)
      lines[lines.length - 1] = `${last} ${text}`;
    else lines.push(`${indent}${text}`);
  });
  return [`${head} (${items.length}):`, ...lines];
}
