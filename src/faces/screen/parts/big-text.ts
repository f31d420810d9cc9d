import type { Mark } from '../../../view/words/mark.ts';

/**
 * A font of our own, three by five dots (a few letters wider), for what is read from a metre away.
 */
const glyphs: Record<string, string> = {
  '0': '###/# #/# #/# #/###',
  '1': ' # /## / # / # /###',
  '2': '###/  #/###/#  /###',
  '3': '###/  #/ ##/  #/###',
  '4': '# #/# #/###/  #/  #',
  '5': '###/#  /###/  #/###',
  '6': '###/#  /###/# #/###',
  '7': '###/  #/  #/ # / # ',
  '8': '###/# #/###/# #/###',
  '9': '###/# #/###/  #/###',
  '.': ' / / / /#',
  '-': '   /   /###/   /   ',
  '+': '   / # /###/ # /   ',
  '>': '#  / # /  #/ # /#  ',
  '<': '  #/ # /#  / # /  #',
  '?': '###/  #/ ##/   / # ',
  _: '   /   /   /   /###',
  '/': '  #/  #/ # /#  /#  ',
  ' ': '  /  /  /  /  ',
  A: ' # /# #/###/# #/# #',
  B: '## /# #/## /# #/## ',
  C: ' ##/#  /#  /#  / ##',
  D: '## /# #/# #/# #/## ',
  E: '###/#  /## /#  /###',
  F: '###/#  /## /#  /#  ',
  G: ' ##/#  /# #/# #/ ##',
  H: '# #/# #/###/# #/# #',
  I: '#/#/#/#/#',
  J: '  #/  #/  #/# #/ # ',
  K: '# #/# #/## /# #/# #',
  L: '#  /#  /#  /#  /###',
  M: '#   #/## ##/# # #/#   #/#   #',
  N: '#  #/## #/# ##/#  #/#  #',
  O: ' # /# #/# #/# #/ # ',
  P: '## /# #/## /#  /#  ',
  Q: ' # /# #/# #/ # /  #',
  R: '## /# #/## /# #/# #',
  S: ' ##/#  / # /  #/## ',
  T: '###/ # / # / # / # ',
  U: '# #/# #/# #/# #/###',
  V: '# #/# #/# #/# #/ # ',
  W: '#   #/#   #/# # #/## ##/#   #',
  X: '# #/# #/ # /# #/# #',
  Y: '# #/# #/ # / # / # ',
  Z: '###/  #/ # /#  /###',
};

/** Marks of the outcomes, each of a shape of its own. */
const markGlyphs: Partial<Record<Mark, string>> = {
  pass: '    #/   # /# #  / #   /     ',
  fail: '#   #/ # # /  #  / # # /#   #',
  borderline: '  #  /  #  /#####/  #  /#####',
  unsteady: '     / #   /# # #/   # /     ',
  'no-contact': ' ### /#   #/#   #/#   #/ ### ',
  live: '#/#/#/ /#',
};

/** Dots are this many characters wide and lines high; the first that fits is taken. */
const dotSizes = [
  { wide: 4, high: 2 },
  { wide: 3, high: 2 },
  { wide: 2, high: 1 },
  { wide: 1, high: 1 },
] as const;

/** Lines of large text, all of one width; `dot` is the character it is drawn with. */
export interface BigText {
  lines: string[];
  width: number;
}

/**
 * Returns a word with its mark before it, drawn as large as fits; null when that is too wide or
 * there is no such mark.
 */
export function bigMarked(mark: Mark, word: string, width: number, height: number, dot: string): BigText | null {
  const shape = markGlyphs[mark]?.split('/');
  return shape === undefined ? null : draw([shape, ...shapesOf(` ${word}`)], width, height, dot);
}

/**
 * Returns a text drawn as large as fits into `width` columns and `height` lines; null when it does
 * not fit or holds a character that the font has not. Letters come as capitals.
 */
export function bigText(text: string, width: number, height: number, dot: string): BigText | null {
  return draw(shapesOf(text), width, height, dot);
}

function shapesOf(text: string): (string[] | undefined)[] {
  return [...text.toUpperCase()].map((char) => glyphs[char]?.split('/'));
}

function draw(shapes: (string[] | undefined)[], width: number, height: number, dot: string): BigText | null {
  if (shapes.length === 0 || shapes.some((shape) => shape === undefined)) return null;
  const rows = [0, 1, 2, 3, 4].map((row) => shapes.map((shape) => shape![row]!).join(' '));
  const dots = rows[0]!.length;
  const size = dotSizes.find(({ wide, high }) => dots * wide <= width && 5 * high <= height);
  if (size === undefined) return null;
  const lines = rows.flatMap((row) => {
    const line = [...row].map((d) => (d === '#' ? dot : ' ').repeat(size.wide)).join('');
    return Array.from({ length: size.high }, () => line);
  });
  return { lines, width: dots * size.wide };
}
