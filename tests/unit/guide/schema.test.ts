import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { checkKinds } from '../../../src/checks/registry.ts';
import { guideSchemaText } from '../../../src/guide/file/json-schema.ts';
import { exampleNames, exampleText, smallGuide } from '../../support/example-guide.ts';

const published = readFileSync(new URL('../../../src/guide/file/guide.schema.json', import.meta.url), 'utf8');

test('the published schema is the one that the program reads by', () => {
  expect(published).toBe(guideSchemaText(checkKinds));
});

describe('the published schema, read back by itself', () => {
  const schema = z.fromJSONSchema(JSON.parse(published));

  test.each(exampleNames)('takes %s', (name) => {
    expect(schema.safeParse(parse(exampleText(name)))).toMatchObject({ success: true });
  });

  test.each([
    ['a unit missing', 'ohm: 0.5 ohm', 'ohm: 0.5'],
    ['an unknown field', '    dwell: 20 ms', '    dwel: 20 ms'],
    ['another version', 'guide: 1', 'guide: 2'],
  ])('refuses %s', (_name, from, to) => {
    expect(schema.safeParse(parse(smallGuide)).success).toBe(true);
    expect(schema.safeParse(parse(smallGuide.replace(from, to))).success).toBe(false);
  });
});

test('every kind of check is in the schema', () => {
  for (const kind of Object.keys(checkKinds)) expect(published).toContain(`"const": "${kind}"`);
});
