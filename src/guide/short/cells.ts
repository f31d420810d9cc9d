import { type LinkWords, type ParsedLinkWords, parseLinkWords } from './link-words.ts';

/** A point of a cell, and what is said of the link that leads to it. */
export interface CellPoint {
  /** The pad, or the name of a point that no tip reaches; null: a point without a name. */
  name: string | null;
  isPad: boolean;
  /** It stands at the joint before or after it, with no trace between. */
  atJoint: { before: boolean; after: boolean };
  /** Of the link from the point before, in this cell or the one before. */
  link: LinkWords;
}

export type ParsedCell = { ok: true; points: CellPoint[] } | { ok: false; code: string; word: string };

/**
 * Returns the points of a cell such as `S1 (joint 25 mohm) . J1/`, in the order in which the signal
 * passes.
 *
 * A name is a pad; `.` is a point that no tip reaches, `.NAME` one that is named. A slash before or
 * after a pad says that it stands at the joint there. What is in brackets tells of the link between
 * its neighbours.
 */
export function parseCell(text: string): ParsedCell {
  const points: CellPoint[] = [];
  let link: LinkWords | null = null;
  for (const token of text.match(/\([^()]*\)|[^\s()]+|[()]/g) ?? []) {
    if (token.startsWith('(')) {
      const words: ParsedLinkWords | null =
        token.endsWith(')') && link === null ? parseLinkWords(token.slice(1, -1)) : null;
      if (words === null) return { ok: false, code: 'short.cell', word: token };
      if (!words.ok) return { ok: false, code: 'short.link-words', word: words.word };
      link = words.words;
      continue;
    }
    const match = /^(\/?)(\.?)([A-Za-z0-9][A-Za-z0-9_.+-]*)?(\/?)$/.exec(token);
    if (match === null || (match[2] === '' && match[3] === undefined))
      return { ok: false, code: 'short.cell', word: token };
    const [, before, dot, name, after] = match;
    points.push({
      name: name ?? null,
      isPad: dot === '',
      atJoint: { before: before === '/', after: after === '/' },
      link: link ?? {},
    });
    link = null;
  }
  if (points.length === 0 || link !== null) return { ok: false, code: 'short.cell', word: text };
  return { ok: true, points };
}
