import type { Limits } from '../types.ts';
import { parseQuantity } from './quantity.ts';

/** What is wrong with limits: a code of `words.ts`, its arguments, and where inside the limits. */
interface LimitsIssue {
  code: string;
  args: Record<string, string>;
  path: string[];
}
export type ParsedLimits = { ok: true; limits: Limits } | { ok: false; issues: LimitsIssue[] };

const number = String.raw`[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?`;
const rangeForm = new RegExp(`^(${number})\\s*([^\\d\\s.,]\\S*?)?\\s*\\.\\.\\s*(${number})\\s*([^\\d\\s.,]\\S*)?$`);
const aroundForm = new RegExp(`^(${number}\\s*[^\\d\\s.,]\\S*)\\s+(?:\\+-|\\+/-|±)\\s*(${number})\\s*%$`);
const sideForm = /^(min|max)\s*:?\s+(.+)$/;

/**
 * Returns limits as people type them, in SI units: `0.2..0.6 ohm`, `900 mohm..1.1 ohm`, `3.3 V +- 5
 * %`, `max 2 ohm`, or a mapping of `min` and `max`.
 *
 * Refused: numbers without units, units of something else, and limits that no reading can be
 * inside.
 */
export function parseLimits(input: unknown, dimension: 'ohm' | 'volt'): ParsedLimits {
  const issues: LimitsIssue[] = [];
  const take = (text: unknown, path: string[]): number | undefined => {
    if (typeof text === 'number') {
      issues.push({ code: 'units.missing', args: { written: String(text), dimension }, path });
      return undefined;
    }
    if (typeof text !== 'string') {
      issues.push({ code: 'limits.form', args: { dimension }, path });
      return undefined;
    }
    const quantity = parseQuantity(text, dimension);
    if (quantity.ok) return quantity.value;
    issues.push({ code: quantity.code, args: { written: text, dimension }, path });
    return undefined;
  };
  const finish = (min: number | undefined, max: number | undefined): ParsedLimits => {
    if (issues.length > 0) return { ok: false, issues };
    const limits: Limits = { quantity: dimension === 'ohm' ? 'resistance' : 'voltage' };
    if (min !== undefined) limits.min = min;
    if (max !== undefined) limits.max = max;
    const why = unmeetable(limits);
    if (why !== null) return { ok: false, issues: [{ code: 'limits.unmeetable', args: { why }, path: [] }] };
    return { ok: true, limits };
  };

  if (typeof input === 'string') {
    const text = input.trim();
    const range = rangeForm.exec(text);
    if (range !== null) {
      const [, low, lowUnit, high, highUnit] = range as unknown as [string, string, string?, string?, string?];
      if (highUnit === undefined) {
        issues.push({ code: 'units.missing', args: { written: text, dimension }, path: [] });
        return { ok: false, issues };
      }
      return finish(take(`${low} ${lowUnit ?? highUnit}`, []), take(`${high} ${highUnit}`, []));
    }
    const around = aroundForm.exec(text);
    if (around !== null) {
      const [, middle, percent] = around as unknown as [string, string, string];
      const centre = take(middle, []);
      const half = centre === undefined ? 0 : Math.abs(centre) * (Number(percent) / 100);
      return finish(centre === undefined ? undefined : centre - half, centre === undefined ? undefined : centre + half);
    }
    const side = sideForm.exec(text);
    if (side !== null) {
      const quantity = take(side[2], []);
      return side[1] === 'min' ? finish(quantity, undefined) : finish(undefined, quantity);
    }
    return { ok: false, issues: [{ code: 'limits.form', args: { dimension }, path: [] }] };
  }
  if (typeof input === 'number') {
    return { ok: false, issues: [{ code: 'limits.form', args: { dimension }, path: [] }] };
  }
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    return { ok: false, issues: [{ code: 'limits.form', args: { dimension }, path: [] }] };
  }
  for (const key of Object.keys(input)) {
    if (key !== 'min' && key !== 'max') issues.push({ code: 'field.unknown', args: { key, near: '' }, path: [key] });
  }
  const sides = input as { min?: unknown; max?: unknown };
  if (sides.min === undefined && sides.max === undefined && issues.length === 0) {
    issues.push({ code: 'limits.form', args: { dimension }, path: [] });
  }
  const min = sides.min === undefined ? undefined : take(sides.min, ['min']);
  const max = sides.max === undefined ? undefined : take(sides.max, ['max']);
  return finish(min, max);
}

/** Returns why no reading can be inside the limits, or null when one can. */
function unmeetable(limits: Limits): string | null {
  const { min, max, quantity } = limits;
  if (min !== undefined && max !== undefined && min > max) return 'the minimum is above the maximum';
  if (min !== undefined && max !== undefined && min === max) {
    return 'minimum and maximum are the same, and no measurement is exact';
  }
  if (quantity === 'resistance' && max !== undefined && max <= 0) return 'a resistance is never below 0';
  return null;
}
