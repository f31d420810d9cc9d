import { z } from 'zod';
import { id, quantity, textField } from '../file/fields.ts';

const words = z.string({ error: 'text.needed' });
/** A cell may be a bare number, as a pad named 1. */
const cell = z.union([z.string(), z.number()], { error: 'text.needed' }).transform(String);

/**
 * `pads` of a short guide: where each is; where it can be reached only in some states, those; its
 * place on a picture, as in a long guide.
 */
const pad = z.union(
  [textField, z.strictObject({ where: textField, in: z.array(id).optional(), at: z.unknown().optional() })],
  { error: 'short.pad' },
);

const key = z.strictObject({
  id,
  name: textField.optional(),
  joins: z.tuple([id, id], { error: 'pads.form' }).optional(),
  in: id.optional(),
  switch: words.default(''),
  normally: z.enum(['open', 'closed']).default('open'),
  with: z.array(id).optional(),
  link: id.optional(),
});

const behind = z.strictObject({
  'pull-up': words.optional(),
  load: words.optional(),
  supply: quantity('volt', -20).optional(),
  source: words.default(''),
  cell: quantity('volt', -20).optional(),
  input: id.optional(),
  does: textField.optional(),
  below: quantity('volt', -20).optional(),
  as: id.optional(),
});

/**
 * What a short guide has in place of nodes, links, pads and keys, and beside them. All its other
 * fields are those of a long guide, which the expanded guide is read by.
 */
export const shortGuideSchema = z.looseObject({
  units: z.array(z.looseObject({ id, name: z.unknown() }), { error: 'list.needed' }).min(1, { error: 'list.empty' }),
  joints: z
    .record(z.string(), words)
    .default({})
    .meta({ description: 'What joins two units: UNIT/UNIT: kind and value.' }),
  inside: z
    .record(id, words)
    .default({})
    .meta({ description: 'What lies between two points of a cell; usually a trace.' }),
  lines: z.record(id, z.record(z.string(), cell)).meta({
    description: 'Each line with its name and, by unit, its points in signal order.',
  }),
  pads: z.record(z.string(), pad).meta({ description: 'Where each pad is, in words for the hand.' }),
  keys: z.array(key, { error: 'list.needed' }).default([]),
  behind: z
    .record(id, behind)
    .default({})
    .meta({ description: 'What hangs on a point: pull-up, load, supply, input.' }),
  near: z
    .record(id, z.array(z.tuple([id, id], { error: 'short.near' })))
    .default({})
    .meta({ description: 'By unit, pairs of lines that lie side by side.' }),
  access: z.array(z.looseObject({ id, open: z.array(z.string()).optional() }), { error: 'list.needed' }).default([]),
  links: z.array(z.looseObject({ id }), { error: 'list.needed' }).default([]),
  checks: z.array(z.looseObject({ id }), { error: 'list.needed' }).default([]),
  cautions: z.array(z.looseObject({ id, title: textField, text: textField }), { error: 'list.needed' }).default([]),
});

export type ShortGuide = z.output<typeof shortGuideSchema>;
