import { z } from 'zod';
import type { CheckKinds } from '../check-kind.ts';
import { shortGuideSchema } from '../short/short-schema.ts';
import { guideFileSchema } from './file-schema.ts';

/** As much of a JSON Schema as is put together here. */
interface Schema {
  $schema?: string;
  title?: string;
  properties?: Record<string, Schema>;
  required?: string[];
  items?: Schema;
  oneOf?: Schema[];
  minItems?: number;
  [more: string]: unknown;
}

/**
 * Returns the JSON Schema (2020-12) of a guide file with these kinds of check, as it is published
 * in `guide.schema.json`: what may stand in the YAML, in the long form or in the short one.
 */
export function guideSchemaText(kinds: CheckKinds): string {
  const { $schema, title, ...long } = jsonSchema(guideFileSchema(kinds));
  const whole = { $schema, title, anyOf: [long, shortOf(long)] };
  return `${JSON.stringify(whole, null, 2)}\n`;
}

function jsonSchema(schema: z.ZodType): Schema {
  return z.toJSONSchema(schema, { io: 'input', target: 'draft-2020-12' }) as Schema;
}

/** The short form is the long one with its own fields, and with less that must be there. */
function shortOf(long: Schema): Schema {
  const fields = long.properties ?? {};
  const own = jsonSchema(shortGuideSchema).properties ?? {};
  const { joints, inside, lines, pads, keys, behind, near } = own as Record<string, Schema>;
  const loose = (list: Schema | undefined, more: Record<string, Schema> = {}): Schema => {
    const items = list?.items ?? {};
    return { ...list, items: { ...items, properties: { ...items.properties, ...more }, required: ['id'] } };
  };
  const checks = { type: 'array', items: { anyOf: (fields.checks?.items?.oneOf ?? []).map(looseCheck) } };
  const { minItems: _two, ...nodes } = fields.nodes ?? {};
  const open = { type: 'array', items: { type: 'string' } };
  return {
    ...long,
    properties: {
      ...fields,
      ...{ joints, inside, lines, pads, keys, behind, near, nodes, checks },
      access: loose(fields.access, { open }),
      links: { ...loose(fields.links), minItems: 0 },
    } as Record<string, Schema>,
    required: ['guide', 'id', 'title', 'device', 'revisions', 'units', 'lines', 'pads', 'checks'],
  };
}

/** In a short guide a check without a kind is a resistance; title, prompt and limits are made. */
function looseCheck(check: Schema): Schema {
  const made = ['title', 'prompt', 'limits', 'idle', 'question'];
  const isUsual = check.properties?.kind?.const === 'resistance';
  if (check.properties?.kind?.const === 'look') return check;
  return {
    ...check,
    required: (check.required ?? []).filter((name) => !made.includes(name) && !(isUsual && name === 'kind')),
  };
}
