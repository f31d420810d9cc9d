import { bigText } from '../../src/faces/screen/parts/big-text.ts';

const scales = [
  [1, 1],
  [2, 1],
  [2, 2],
  [3, 2],
  [4, 2],
] as const;

/** Returns whether a word stands on the screen, in plain letters or drawn large in any size. */
export function reads(text: string, word: string): boolean {
  if (text.includes(word)) return true;
  const lines = text.split('\n');
  const small = bigText(word, 1000, 5, '█')?.lines ?? [];
  const width = Math.max(...small.map((line) => line.length));
  const dots = shrink(small, width);
  return scales.some(([wide, high]) => {
    const rows = dots.flatMap((row) =>
      Array.from({ length: high }, () => row.replace(/./gu, (dot) => dot.repeat(wide))),
    );
    return lines.some((_, at) => standsAt(lines.slice(at, at + rows.length), rows));
  });
}

/** The font draws as large as it may; one dot a letter's dot is wanted. */
function shrink(lines: string[], width: number): string[] {
  for (const wide of [4, 3, 2]) {
    const pieces = lines.map((line) => line.padEnd(width).match(new RegExp(`.{${wide}}`, 'gu')) ?? []);
    if (pieces.every((row) => row.length * wide === width && row.every((p) => new Set(p).size === 1)))
      return pieces.map((row) => row.map((piece) => piece[0]).join(''));
  }
  return lines;
}

function standsAt(lines: string[], rows: string[]): boolean {
  if (lines.length < rows.length) return false;
  const first = lines[0]!;
  const width = Math.max(...rows.map((row) => row.length));
  for (let column = first.indexOf('█'); column !== -1 && column < first.length; column++) {
    const isHere = rows.every(
      (row, index) => lines[index]!.padEnd(column + width).slice(column, column + width) === row.padEnd(width),
    );
    if (isHere) return true;
  }
  return false;
}
