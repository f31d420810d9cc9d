import { z } from 'zod';
import { faultModes } from '../circuit/link-kinds.ts';
import type { FaultMode, Limits } from '../types.ts';
import { parseLimits } from './limits.ts';
import { type Dimension, exampleQuantity, parseQuantity } from './quantity.ts';

/**
 * The fields that guides are made of. A message is a code of `words.ts`, after a colon its
 * argument.
 */

export const id = z
  .string({ error: 'text.needed' })
  .regex(/^[A-Za-z0-9][A-Za-z0-9_.+-]*$/, { error: 'id.form' })
  .meta({ description: 'Letters, digits, and _ . + - inside.' });

export const textField = z.string({ error: 'text.needed' }).trim().min(1, { error: 'text.empty' });

export const minutes = z
  .number({ error: 'minutes.form' })
  .min(0, { error: 'minutes.form' })
  .max(1440, { error: 'minutes.form' });

/** A share of a picture's width or height. */
export const pictureShare = z
  .number({ error: 'place.share' })
  .min(0, { error: 'place.share' })
  .max(1, { error: 'place.share' })
  .meta({ description: 'A share of the width or height, from the upper left corner: 0 to 1.' });

/** A file beside the guide, or in a folder beside it: never above it, never elsewhere. */
export const pictureFile = z
  .string({ error: 'text.needed' })
  .regex(/^(?!.*(?:^|\/)\.\.?(?:\/|$))[^/\\:\0][^\\:\0]*\.(?:png|jpe?g|webp|svg)$/i, { error: 'picture.file' })
  .meta({ description: 'PNG, JPEG, WebP or SVG, named from the folder of the guide.' });

const patterns: Record<Dimension, string> = {
  ohm: '^\\s*([+-]?[0-9.]+(e[+-]?[0-9]+)?\\s*([nuµmkKMG]?(ohms?|Ω)|[kKMG])|[0-9]*[rRkKLMG][0-9]*)\\s*$',
  volt: '^\\s*[+-]?[0-9.]+(e[+-]?[0-9]+)?\\s*[uµmk]?V\\s*$',
  second: '^\\s*[0-9.]+(e[+-]?[0-9]+)?\\s*[nuµm]?s\\s*$',
};

/** Returns the field of a quantity with its unit, read to SI; from `least` to `most`. */
export function quantity(dimension: Dimension, least: number, most: number = Number.POSITIVE_INFINITY) {
  return z
    .string({ error: `units.missing:${dimension}` })
    .meta({ pattern: patterns[dimension], examples: [exampleQuantity[dimension]] })
    .transform((written, ctx): number => {
      const parsed = parseQuantity(written, dimension);
      if (parsed.ok && parsed.value >= least && parsed.value <= most) return parsed.value;
      const code = !parsed.ok ? parsed.code : parsed.value < least ? 'quantity.small' : 'quantity.large';
      ctx.issues.push(custom(written, code, { written, dimension, least: String(least), most: String(most) }));
      return z.NEVER;
    });
}

/** Returns the field of a percentage, `20 %`, read to 0.2; from `least` to `most`. */
export function percentage(most: number, least = 0) {
  return z
    .string({ error: 'percent.form' })
    .meta({ pattern: '^\\s*[0-9.]+\\s*%\\s*$', examples: ['20 %'] })
    .transform((written, ctx): number => {
      const digits = /^\s*(\d+(?:\.\d+)?)\s*%\s*$/.exec(written)?.[1];
      const share = digits === undefined ? Number.NaN : Number(digits) / 100;
      if (share >= least && share <= most) return share;
      const args = { written, least: String(least * 100), most: String(most * 100) };
      ctx.issues.push(custom(written, 'percent.form', args));
      return z.NEVER;
    });
}

/** Returns the field of a check's limits. */
export function limits(dimension: 'ohm' | 'volt') {
  const one = { type: 'string', pattern: patterns[dimension] };
  return z
    .unknown()
    .refine((input) => input !== undefined, { error: 'field.missing' })
    .transform((input, ctx): Limits => {
      const parsed = parseLimits(input, dimension);
      if (parsed.ok) return parsed.limits;
      for (const issue of parsed.issues) ctx.issues.push(custom(input, issue.code, issue.args, issue.path));
      return z.NEVER;
    })
    .meta({
      description: "Limits with units: '0.2..0.6 ohm', '3.3 V +- 5 %', 'max 2 ohm', or a mapping of min and max.",
      anyOf: [
        { type: 'string' },
        { type: 'object', properties: { min: one, max: one }, minProperties: 1, additionalProperties: false },
      ],
    });
}

export const pads = z
  .tuple([id, id], { error: 'pads.form' })
  .refine(([a, b]) => a !== b, { error: 'pads.same' })
  .meta({ description: 'The pads for tip A and tip B.' });

const faultText = /^\s*([^=\s:]+)\s*(?:=\s*([a-z]+)\s*)?$/;

/** LINK=MODE */
export const seenFault = z
  .string({ error: 'fault.form' })
  .transform((written, ctx): { link: string; mode: FaultMode } => {
    const [, link, modeText] = faultText.exec(written) ?? [];
    const mode = faultModes.find((one) => one === modeText);
    if (link !== undefined && mode !== undefined) return { link, mode };
    ctx.issues.push(custom(written, 'fault.form', { written }));
    return z.NEVER;
  });

/** LINK or LINK=MODE */
export const fixedFault = z
  .string({ error: 'fault.form' })
  .transform((written, ctx): { link: string; mode: FaultMode | null } => {
    const [, link, modeText] = faultText.exec(written) ?? [];
    const mode = faultModes.find((one) => one === modeText);
    if (link !== undefined && modeText === undefined) return { link, mode: null };
    if (link !== undefined && mode !== undefined) return { link, mode };
    ctx.issues.push(custom(written, 'fault.form', { written }));
    return z.NEVER;
  });

/** Returns a zod issue that carries a code of `words.ts`. */
function custom(input: unknown, code: string, args: Record<string, string>, path: string[] = []) {
  return { code: 'custom' as const, message: code, params: args, path, input };
}
