import { isMap, isScalar, isSeq, type Node, parseDocument } from 'yaml';
import { formatQuantity } from '../../measure/reading/format.ts';
import type { CheckKinds } from '../check-kind.ts';
import type { Guide, Limits } from '../types.ts';
import { parseGuideWith } from './parse.ts';

export type EditedGuide = { ok: true; text: string } | { ok: false; check: string; what: string };

/**
 * Returns the text of a guide file with the limits of some checks (by check id) replaced, and every
 * other character as it was: comments, order, line lengths. The new text is read again, and refused
 * unless it is the same guide but for those limits.
 *
 * @param text a text that `parseGuide` takes
 */
export function withLimits(
  text: string,
  guide: Guide,
  changes: ReadonlyMap<string, Limits>,
  kinds: CheckKinds,
): EditedGuide {
  const document = parseDocument(text, { version: '1.2', logLevel: 'error' });
  const checks = document.get('checks', true);
  const edits: { from: number; to: number; by: string }[] = [];
  for (const [check, limits] of changes) {
    const place = guide.checks.findIndex(({ id }) => id === check);
    const entry = isSeq(checks) ? checks.items[place] : undefined;
    const node = isMap(entry) ? (entry.get('limits', true) as Node | undefined) : undefined;
    const range = node?.range;
    if (node === undefined || range === undefined || range === null)
      return refuse(check, 'the limits are not found in the file');
    if (!isScalar(node) && !isMap(node)) return refuse(check, 'the limits stand behind an alias; write them out first');
    edits.push({
      from: range[0],
      to: range[1],
      by: isMap(node) ? mapText(limits) : scalarText(text, range[0], limits),
    });
  }
  let edited = text;
  for (const { from, to, by } of edits.sort((a, b) => b.from - a.from)) {
    // a block mapping ends with its line
    const rest = edited.slice(to);
    const lineEnd = edited[to - 1] === '\n' ? '\n' : '';
    edited = `${edited.slice(0, from)}${by}${lineEnd}${rest}`;
  }
  const [first] = changes.keys();
  const again = parseGuideWith(edited, 'the edited guide', kinds);
  if (!again.ok) return refuse(first ?? '', `the guide would no longer be one: ${again.problems[0]?.what ?? ''}`);
  const wanted = guide.checks.map((check) => {
    const limits = changes.get(check.id);
    return limits === undefined ? check : { ...check, limits };
  });
  if (!sameData({ ...guide, checks: wanted }, again.guide)) {
    return refuse(first ?? '', 'more than the limits would change (an anchor shared with another place?)');
  }
  return { ok: true, text: edited };
}

function refuse(check: string, what: string): EditedGuide {
  return { ok: false, check, what };
}

/**
 * Returns limits as they stand in a guide: `max 0.52 ohm`, `40 kohm..60 kohm`, `1.65 V..1.95 V`.
 */
export function limitsText({ quantity, min, max }: Limits): string {
  const write = (value: number): string => formatQuantity(value, quantity, writtenDigits);
  if (min !== undefined && max !== undefined) return `${write(min)}..${write(max)}`;
  if (max !== undefined) return `max ${write(max)}`;
  return min === undefined ? '' : `min ${write(min)}`;
}

function mapText(limits: Limits): string {
  const sides = (['min', 'max'] as const).filter((side) => limits[side] !== undefined);
  return `{ ${sides.map((side) => `${side}: ${formatQuantity(limits[side]!, limits.quantity, writtenDigits)}`).join(', ')} }`;
}

function scalarText(text: string, at: number, limits: Limits): string {
  const quote = text[at] === '"' || text[at] === "'" ? text[at] : '';
  return `${quote}${limitsText(limits)}${quote}`;
}

/** More digits than any limit has, and few enough to shed a binary tail. */
const writtenDigits = 9;

/** Equal data, numbers to the digits that are written. */
function sameData(a: unknown, b: unknown): boolean {
  if (typeof a === 'number' && typeof b === 'number')
    return a === b || Math.abs(a - b) <= 1e-8 * Math.max(Math.abs(a), Math.abs(b));
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return a === b;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...keys].every((key) => sameData((a as Record<string, unknown>)[key], (b as Record<string, unknown>)[key]));
}
