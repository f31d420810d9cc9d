import { type Document, isMap, isPair, isScalar, isSeq, type LineCounter, type Node } from 'yaml';
import type { Guide } from '../types.ts';

export type Path = readonly (string | number)[];
interface TextPlace {
  line: number | null;
  column: number | null;
}

/** Finds the line and column (from 1) of a path in a YAML file. */
export interface SourceMap {
  /** The value at the path; of what is missing, the nearest thing that is there. */
  place(path: Path): TextPlace;
  /** The key of the last step, in place of its value. */
  keyPlace(path: Path): TextPlace;
}

export const nowhere: SourceMap = {
  place: () => ({ line: null, column: null }),
  keyPlace: () => ({ line: null, column: null }),
};

/** Returns the source map of a parsed document. */
export function sourceMap(document: Document, lines: LineCounter): SourceMap {
  const at = (offset: number | undefined): TextPlace => {
    if (offset === undefined) return { line: 1, column: 1 };
    const { line, col } = lines.linePos(offset);
    return { line, column: col };
  };
  const walk = (path: Path): { key: Node | null; value: Node | null; whole: boolean } => {
    let key: Node | null = null;
    let value: Node | null = document.contents as Node | null;
    for (const step of path) {
      let next: Node | null = null;
      let nextKey: Node | null = null;
      if (isMap(value)) {
        const pair = value.items.find(
          (item) => isPair(item) && isScalar(item.key) && String(item.key.value) === String(step),
        );
        next = (pair?.value ?? null) as Node | null;
        nextKey = (pair?.key ?? null) as Node | null;
        if (pair !== undefined && next === null) return { key: nextKey, value: nextKey, whole: true };
      } else if (isSeq(value) && typeof step === 'number') {
        next = (value.items[step] ?? null) as Node | null;
        nextKey = next;
      }
      if (next === null) return { key, value, whole: false };
      key = nextKey;
      value = next;
    }
    return { key, value, whole: true };
  };
  return {
    place: (path) => at(walk(path).value?.range?.[0]),
    keyPlace: (path) => {
      const { key, value } = walk(path);
      return at((key ?? value)?.range?.[0]);
    },
  };
}

const kept = new WeakMap<Guide, SourceMap>();

/** Keeps the source map of a guide for as long as the guide itself lives. */
export function keepSource(guide: Guide, source: SourceMap): void {
  kept.set(guide, source);
}

/**
 * Returns where a guide's parts stand in its file; of a guide that was not parsed here (a copy),
 * nowhere.
 */
export function sourceOf(guide: Guide): SourceMap {
  return kept.get(guide) ?? nowhere;
}
