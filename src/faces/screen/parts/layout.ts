/** Least size of the live screen, in columns and rows. */
export const leastCols = 60;
export const leastRows = 16;

/**
 * Heights, in rows, of what stands left; 0 leaves a part out. A height of 1 is plain text, 5 and 10
 * are large.
 */
interface LeftHeights {
  /** Pads, or the headline. */
  big: number;
  /** The reading; with 1, the contact has a row of its own below. */
  reading: number;
  /** Where the pads are, the state of disassembly, the guide's words on how to do it. */
  details: number;
  trace: number;
  /** Empty rows between parts, up to 3. */
  gaps: number;
}

export interface Layout {
  /** Rows between the header and the footer. */
  bodyRows: number;
  leftCols: number;
  /** Columns of the list beside it; 0 on a narrow terminal. */
  rightCols: number;
  left: LeftHeights;
}

/** What spare rows go into, in this order, each if the rows last. */
const wishes: readonly [part: keyof LeftHeights, height: number][] = [
  ['reading', 5],
  ['big', 5],
  ['trace', 2],
  ['details', 4],
  ['trace', 3],
  ['details', 5],
  ['gaps', 1],
  ['gaps', 2],
  ['trace', 4],
  ['reading', 10],
  ['big', 10],
  ['gaps', 3],
  ['details', 6],
  ['details', 8],
  ['trace', 10],
];
/** Title, action, two details, scale (2 rows), and one row each for pads, reading and contact. */
const leastLeft = 9;

/**
 * Returns how the screen is divided; null below the least size. The frame is one row less than the
 * terminal, so that it never scrolls.
 */
export function layoutFor(cols: number, rows: number): Layout | null {
  if (cols < leastCols || rows < leastRows) return null;
  const bodyRows = rows - 1 - 3;
  const rightCols = cols < 76 ? 0 : cols < 96 ? 26 : cols < 116 ? 36 : 44;
  return { bodyRows, leftCols: cols - rightCols - (rightCols === 0 ? 0 : 1), rightCols, left: leftHeights(bodyRows) };
}

function leftHeights(rows: number): LeftHeights {
  const heights: LeftHeights = { big: 1, reading: 1, details: 2, trace: 0, gaps: 0 };
  let spare = rows - leastLeft;
  for (const [part, height] of wishes) {
    // the large reading takes the contact's row in
    const saved = part === 'reading' && heights.reading === 1 ? 1 : 0;
    const cost = height - heights[part] - saved;
    if (cost > spare || height <= heights[part]) continue;
    spare -= cost;
    heights[part] = height;
  }
  return heights;
}
