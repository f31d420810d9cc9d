import { z } from 'zod';
import type { CheckKinds } from '../check-kind.ts';
import { faultModes, linkKindNames } from '../circuit/link-kinds.ts';
import type { Check } from '../types.ts';
import { fixedFault, id, minutes, percentage, pictureFile, pictureShare, quantity, textField } from './fields.ts';

const price = z.number({ error: 'price.form' }).min(0, { error: 'price.form' });
const list = <T extends z.ZodType>(item: T) => z.array(item, { error: 'list.needed' });

const link = z.strictObject({
  id,
  from: id,
  to: id,
  kind: z.enum(linkKindNames, { error: undefined }),
  /** 0.1 mohm at least: below that, join the nodes. */
  ohm: quantity('ohm', 1e-4),
  spread: percentage(1).optional(),
  max: quantity('ohm', 1e-4).optional(),
  normally: z.enum(['open', 'closed']).default('open'),
  unit: id.optional(),
  between: z.tuple([id, id], { error: 'between.form' }).optional(),
  weights: z
    .partialRecord(z.enum(faultModes), z.number({ error: 'weight.form' }).min(0, { error: 'weight.form' }))
    .default({}),
  near: list(id).default([]),
});

/** Where a pad is on a picture of the device. */
const padPlace = z.strictObject({ picture: id, x: pictureShare, y: pictureShare });

/** A check in a guide file, by its `kind`. */
function checkSchema(kinds: CheckKinds) {
  const schemas = Object.values(kinds).map(({ schema }) => schema) as unknown as [z.core.$ZodTypeDiscriminable];
  return z.discriminatedUnion('kind', schemas) as unknown as z.ZodType<Check>;
}

function schemaWith(kinds: CheckKinds) {
  return z
    .strictObject({
      guide: z.literal(1, { error: 'version.wrong' }).meta({ description: 'Version of the guide format.' }),
      id,
      title: textField,
      device: z.strictObject({ maker: textField, name: textField, kind: textField }),
      currency: textField.optional(),
      revisions: z.strictObject({
        holds: list(textField).min(1, { error: 'revisions.none' }),
        not: list(z.strictObject({ revision: textField, reason: textField })).default([]),
      }),
      cautions: list(
        z.strictObject({
          id,
          title: textField,
          text: textField,
          when: z.enum(['always', 'power-on', 'opened']).default('always'),
        }),
      ).default([]),
      access: list(z.strictObject({ id, name: textField, minutes, parts: list(id).default([]) })).default([]),
      powerMinutes: minutes.default(1),
      units: list(
        z.strictObject({
          id,
          name: textField,
          price: price.optional(),
          minutes: minutes.optional(),
          lithium: z.boolean().default(false),
        }),
      ).min(1, { error: 'list.empty' }),
      nodes: list(id).min(2, { error: 'nodes.few' }).max(2000, { error: 'nodes.many' }),
      ground: id.optional(),
      pictures: list(
        z.strictObject({
          id,
          file: pictureFile,
          shows: textField.meta({ description: 'Which part, which side, how far taken apart.' }),
        }),
      ).default([]),
      pads: list(
        z.strictObject({ id, node: id, where: textField, in: list(id).optional(), at: padPlace.optional() }),
      ).min(2, {
        error: 'pads.few',
      }),
      links: list(link).min(1, { error: 'list.empty' }),
      rails: list(z.strictObject({ id, node: id, volt: quantity('volt', -20), ohm: quantity('ohm', 1e-4) })).default(
        [],
      ),
      inputs: list(z.strictObject({ id, name: textField, node: id, below: quantity('volt', -20) })).default([]),
      keys: list(z.strictObject({ id, name: textField, link: id, with: list(id).default([]) })).default([]),
      checks: list(checkSchema(kinds)).min(1, { error: 'list.empty' }),
      repairs: list(
        z.strictObject({
          id,
          name: textField,
          fixes: list(fixedFault).min(1, { error: 'list.empty' }),
          price: price.default(0),
          minutes,
          success: percentage(1),
        }),
      ).default([]),
      rule: z
        .discriminatedUnion('name', [
          z.strictObject({ name: z.literal('guarded'), p: z.number().gt(0.5).lt(1).default(0.975) }),
          z.strictObject({ name: z.literal('simple') }),
        ])
        .default({ name: 'guarded', p: 0.975 }),
      confidence: percentage(0.999, 0.5).default(0.95),
      eyes: z
        .strictObject({ miss: percentage(0.5).default(0.02), falseAlarm: percentage(0.5).default(0.02) })
        .default({ miss: 0.02, falseAlarm: 0.02 }),
      usual: id.optional(),
      confirmAbove: price.optional(),
      wrongPad: percentage(0.2).default(0.01),
      healthy: percentage(0.99, 0.001).default(0.05),
    })
    .meta({ title: 'ohmwright device guide' });
}

const made = new WeakMap<CheckKinds, ReturnType<typeof schemaWith>>();

/**
 * Returns the schema of a guide file, version 1, with these kinds of check: what stands in the YAML
 * goes in, numbers in SI units come out.
 */
export function guideFileSchema(kinds: CheckKinds): ReturnType<typeof schemaWith> {
  const schema = made.get(kinds) ?? schemaWith(kinds);
  made.set(kinds, schema);
  return schema;
}

export type GuideFile = z.output<ReturnType<typeof schemaWith>>;
