import { Document, isAlias, isMap, isSeq, parseDocument, type YAMLMap } from 'yaml';
import { parseGuide } from '../../checks/guides.ts';
import type { FaultMode } from '../../guide/types.ts';

/** A weight as it is to stand in a guide. */
export interface NewWeight {
  link: string;
  mode: FaultMode;
  weight: number;
}

/**
 * Returns a guide's text with these weights, its comments kept; null when the text can't be changed
 * so, as where a link as a whole is an alias.
 *
 * Weights that several links share by an alias become each link's own where one of them changes.
 */
export function withWeights(text: string, weights: readonly NewWeight[]): string | null {
  const document = parseDocument(text);
  const changed = new Set<YAMLMap>();
  for (const { link, mode, weight } of weights) {
    const item = linkItem(document, link);
    if (item === null) return null;
    for (const one of unshare(document, item)) changed.add(one);
    changed.add(item);
    item.setIn(['weights', mode], weight);
  }
  const written = rewritten(text, document, [...changed]);
  const again = parseGuide(written, 'the new guide');
  if (!again.ok) return null;
  const isThere = weights.every(({ link, mode, weight }) =>
    again.guide.links.some((one) => one.id === link && one.weights[mode] === weight),
  );
  return isThere ? written : null;
}

/**
 * Only the links that changed are written anew, where each stands on lines of its own making; else
 * the whole text is.
 */
function rewritten(text: string, document: Document, changed: readonly YAMLMap[]): string {
  if (changed.some((item) => item.flow !== true || item.range == null)) return document.toString({ lineWidth: 0 });
  return [...changed]
    .sort((a, b) => b.range![0] - a.range![0])
    .reduce((whole, item) => {
      const [start, end] = item.range!;
      // the comment above it stands in the text already
      item.commentBefore = null;
      const line = new Document(item).toString({ lineWidth: 0 }).trimEnd();
      return `${whole.slice(0, start)}${line}${whole.slice(end)}`;
    }, text);
}

function linkItem(document: Document, link: string): YAMLMap | null {
  const links = document.get('links');
  const item = isSeq(links) ? links.items.find((one) => isMap(one) && one.get('id') === link) : undefined;
  return isMap(item) ? item : null;
}

/**
 * Makes a link's weights its own: an alias becomes a copy, and the aliases of what it shares do.
 * Returns the other links changed.
 */
function unshare(document: Document, item: YAMLMap): YAMLMap[] {
  const own = item.get('weights', true);
  if (isAlias(own)) {
    const shared = own.resolve(document);
    if (isMap(shared)) item.set('weights', copy(shared as YAMLMap));
    return [];
  }
  if (!isMap(own)) {
    item.set('weights', document.createNode({}, { flow: true }));
    return [];
  }
  const links = document.get('links');
  if (own.anchor === undefined || !isSeq(links)) return [];
  const { anchor } = own;
  return links.items.filter(isMap).filter((other) => {
    const theirs = other.get('weights', true);
    if (!isAlias(theirs) || theirs.source !== anchor) return false;
    other.set('weights', copy(own as YAMLMap));
    return true;
  }) as YAMLMap[];
}

function copy(map: YAMLMap): YAMLMap {
  const clone = map.clone() as YAMLMap;
  delete clone.anchor;
  return clone;
}
