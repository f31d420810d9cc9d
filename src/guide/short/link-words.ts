import { type LinkKind, linkKindNames, linkKinds } from '../circuit/link-kinds.ts';
import { parseQuantity } from '../file/quantity.ts';

/** What is said of a link in a few words; what is left out is usual for its kind. */
export interface LinkWords {
  id?: string;
  kind?: LinkKind;
  /** As written, with its unit. */
  ohm?: string;
  spread?: string;
  max?: string;
}

export type ParsedLinkWords = { ok: true; words: LinkWords } | { ok: false; word: string };

const idForm = /^[A-Za-z0-9][A-Za-z0-9_.+-]*$/;

/**
 * Returns what words like `joint 25 mohm 20 % as foot-a` say of a link: kind, ohms, spread, `max`
 * and the most that a healthy one has, `as` and its id. Each may be left out; the order is free.
 */
export function parseLinkWords(text: string): ParsedLinkWords {
  const tokens = text.trim() === '' ? [] : text.trim().split(/\s+/);
  const words: LinkWords = {};
  let at = 0;
  const quantity = (): string | null => {
    const alone = tokens[at] ?? '';
    const withUnit = `${alone} ${tokens[at + 1] ?? ''}`;
    if (parseQuantity(withUnit, 'ohm').ok) {
      at += 2;
      return withUnit;
    }
    if (!parseQuantity(alone, 'ohm').ok) return null;
    at += 1;
    return alone;
  };
  const take = (): boolean => {
    const token = tokens[at]!;
    const kind = linkKindNames.find((name) => name === token);
    if (kind !== undefined && words.kind === undefined) {
      words.kind = kind;
      at += 1;
      return true;
    }
    if (token === 'as' && words.id === undefined && idForm.test(tokens[at + 1] ?? '')) {
      words.id = tokens[at + 1]!;
      at += 2;
      return true;
    }
    if (token === 'max' && words.max === undefined) {
      at += 1;
      const max = quantity();
      if (max === null) return false;
      words.max = max;
      return true;
    }
    const percent = /^(\d+(?:\.\d+)?)(%?)$/.exec(token);
    if (percent !== null && words.spread === undefined && (percent[2] === '%' || tokens[at + 1] === '%')) {
      words.spread = `${percent[1]} %`;
      at += percent[2] === '%' ? 1 : 2;
      return true;
    }
    if (words.ohm !== undefined) return false;
    const ohm = quantity();
    if (ohm === null) return false;
    words.ohm = ohm;
    return true;
  };
  while (at < tokens.length) {
    const from = at;
    if (!take()) return { ok: false, word: tokens[from]! };
  }
  return { ok: true, words };
}

/** Returns words with those of a second saying where the first says nothing. */
export function withFallback(words: LinkWords, fallback: LinkWords): LinkWords {
  // values belong to a kind: those of another kind say nothing here
  if (words.kind !== undefined && fallback.kind !== undefined && words.kind !== fallback.kind) return words;
  const { id: _id, ...usual } = fallback;
  const merged = { ...usual, ...words };
  if (words.spread !== undefined) delete merged.max;
  if (words.max !== undefined) delete merged.spread;
  if (words.max !== undefined) merged.max = words.max;
  return merged;
}

/** Returns the fields of a link in a guide file that words stand for. */
export function linkFields(words: LinkWords, kind: LinkKind): Record<string, unknown> {
  const { usual } = linkKinds[words.kind ?? kind];
  const ohm = words.ohm ?? `${usual.ohm} ohm`;
  const spread = words.max === undefined ? { spread: words.spread ?? `${usual.spread * 100} %` } : { max: words.max };
  return { kind: words.kind ?? kind, ohm, ...spread };
}
