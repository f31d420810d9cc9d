import { type Document, isAlias, isMap, isSeq, parseDocument, type YAMLMap } from 'yaml';
import { parseGuide } from '../guide/parse.ts';
import type { FaultMode } from '../guide/types.ts';

/** A weight as it is to stand in a guide. */
export interface NewWeight {
  link: string;
  mode: FaultMode;
  weight: number;
}

/**
 * Returns a guide's text with these weights, its comments kept; null when the text can't be changed so, as where a link as a whole is an alias.
 *
 * Weights that several links share by an alias become each link's own where one of them changes.
 */
export function withWeights(text: string, weights: readonly NewWeight[]): string | null {
  const document = parseDocument(text);
  for (const { link, mode, weight } of weights) {
    const item = linkItem(document, link);
    if (item === null) return null;
    unshare(document, item);
    document.setIn(['links', indexOf(document, link), 'weights', mode], weight);
  }
  const written = document.toString({ lineWidth: 0 });
  const again = parseGuide(written, 'the new guide');
  if (!again.ok) return null;
  const isThere = weights.every(({ link, mode, weight }) =>
    again.guide.links.some((one) => one.id === link && one.weights[mode] === weight),
  );
  return isThere ? written : null;
}

function linkItem(document: Document, link: string): YAMLMap | null {
  const links = document.get('links');
  const item = isSeq(links) ? links.items[indexOf(document, link)] : undefined;
  return isMap(item) ? item : null;
}

function indexOf(document: Document, link: string): number {
  const links = document.get('links');
  return isSeq(links) ? links.items.findIndex((item) => isMap(item) && item.get('id') === link) : -1;
}

/** Makes a link's weights its own: an alias becomes a copy, and the aliases of what it shares become copies too. */
function unshare(document: Document, item: YAMLMap): void {
  const own = item.get('weights', true);
  if (isAlias(own)) {
    const shared = own.resolve(document);
    if (isMap(shared)) item.set('weights', copy(shared as YAMLMap));
    return;
  }
  if (!isMap(own)) {
    const empty = document.createNode({}, { flow: true });
    item.set('weights', empty);
    return;
  }
  const { anchor } = own;
  if (anchor === undefined) return;
  const links = document.get('links');
  if (!isSeq(links)) return;
  for (const other of links.items) {
    if (!isMap(other)) continue;
    const theirs = other.get('weights', true);
    if (isAlias(theirs) && theirs.source === anchor) other.set('weights', copy(own as YAMLMap));
  }
}

function copy(map: YAMLMap): YAMLMap {
  const clone = map.clone() as YAMLMap;
  delete clone.anchor;
  return clone;
}
