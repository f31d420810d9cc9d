import type { Draw, FuzzTarget } from './target.ts';

const edges = [0, 1, 2, 9, 10, 13, 32, 34, 44, 0x3a, 0x7f, 0x80, 0xbf, 0xc0, 0xc3, 0xdb, 0xdc, 0xdd, 0xfe, 0xff];

type Change = (bytes: Uint8Array, draw: Draw, other: Uint8Array, words: readonly Uint8Array[]) => Uint8Array;

const spliced = (bytes: Uint8Array, at: number, out: number, put: Uint8Array): Uint8Array => {
  const whole = new Uint8Array(bytes.length - out + put.length);
  whole.set(bytes.subarray(0, at));
  whole.set(put, at);
  whole.set(bytes.subarray(at + out), at + put.length);
  return whole;
};

/** Returns where a stretch begins and how long it is; short ones are likelier. */
function stretch(bytes: Uint8Array, draw: Draw): { at: number; length: number } {
  const at = draw.below(bytes.length + 1);
  const most = Math.min(bytes.length - at, 1 << draw.below(10));
  return { at, length: draw.below(most + 1) };
}

const changes: readonly Change[] = [
  // one bit
  (bytes, draw) => {
    if (bytes.length === 0) return bytes;
    const at = draw.below(bytes.length);
    return bytes.with(at, bytes[at]! ^ (1 << draw.below(8)));
  },
  // one byte, by a small step, by chance or at an edge
  (bytes, draw) => {
    if (bytes.length === 0) return bytes;
    const at = draw.below(bytes.length);
    const now = bytes[at]!;
    return bytes.with(at, draw.of([now + 1, now - 1, draw.below(256), draw.of(edges)]) & 0xff);
  },
  // a stretch goes
  (bytes, draw) => {
    const { at, length } = stretch(bytes, draw);
    return spliced(bytes, at, length, new Uint8Array());
  },
  // a stretch comes twice, or somewhere else
  (bytes, draw) => {
    const { at, length } = stretch(bytes, draw);
    return spliced(bytes, draw.below(bytes.length + 1), 0, bytes.subarray(at, at + length));
  },
  // a stretch of another input
  (bytes, draw, other) => {
    const from = stretch(other, draw);
    const to = stretch(bytes, draw);
    return spliced(bytes, to.at, draw.below(2) * to.length, other.subarray(from.at, from.at + from.length));
  },
  // the first part of this one, the last of another
  (bytes, draw, other) => {
    const at = draw.below(bytes.length + 1);
    return spliced(bytes, at, bytes.length - at, other.subarray(draw.below(other.length + 1)));
  },
  // a word of the grammar, put in or in place of as many bytes
  (bytes, draw, _other, words) => {
    if (words.length === 0) return bytes;
    const word = draw.of(words);
    const at = draw.below(bytes.length + 1);
    return spliced(bytes, at, draw.below(2) * Math.min(word.length, bytes.length - at), word);
  },
  // a number in digits becomes another
  (bytes, draw) => {
    const text = Buffer.from(bytes).toString('latin1');
    const found = [...text.matchAll(/\d+(?:\.\d+)?/g)];
    if (found.length === 0) return bytes;
    const number = draw.of(found);
    const value = Number(number[0]);
    const puts = [value + 1, -value, value * 1e6, 0, 1e308, 2 ** 53, 65_535, value / 7, '1e999', '00', ''];
    return spliced(bytes, number.index, number[0].length, Buffer.from(String(draw.of(puts))));
  },
  // a line goes, comes twice or changes places
  (bytes, draw) => {
    const lines = Buffer.from(bytes).toString('latin1').split('\n');
    const [a, b] = [draw.below(lines.length), draw.below(lines.length)];
    const line = lines[a]!;
    const now = draw.of([lines.toSpliced(a, 1), lines.toSpliced(b, 0, line), lines.with(a, lines[b]!).with(b, line)]);
    return Buffer.from(now.join('\n'), 'latin1');
  },
];

/** Returns the words of a grammar as bytes; a word of characters up to 0xff is one byte a character. */
export function wordsOf({ words }: FuzzTarget): Uint8Array[] {
  return words.map((word) => new Uint8Array(Buffer.from(word, /[\u0100-\uffff]/.test(word) ? 'utf8' : 'latin1')));
}

/** Returns a changed input: one to six changes of bytes or of structure, check values made right three times in four. */
export function mutated(
  target: FuzzTarget,
  bytes: Uint8Array,
  other: Uint8Array,
  words: readonly Uint8Array[],
  draw: Draw,
): Uint8Array {
  let now = bytes;
  const times = 1 + draw.below(draw.below(3) === 0 ? 6 : 2);
  for (let i = 0; i < times; i++) {
    if (target.restructure !== undefined && draw.below(2) === 0) now = target.restructure(now, draw);
    else now = draw.of(changes)(now, draw, other, words);
    if (now.length > target.mostBytes) now = now.slice(0, target.mostBytes);
  }
  if (target.seal === undefined || draw.below(4) === 0) return now;
  const sealed = target.seal(now);
  return sealed.length > target.mostBytes ? now : sealed;
}
