import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { isolationRules } from '../../../src/isolate/rules.ts';

const page = readFileSync(new URL('../../../src/isolate/MODEL.md', import.meta.url), 'utf8');

/** Rows of the page's last table: a parameter and its value. */
const stated = new Map(
  [...page.matchAll(/^\| `([a-z]+\.[A-Za-z]+)`\s+\| `(.*?)`\s+\|/gm)].map(([, name, value]) => [name, value]),
);

test('the page of the model states every parameter that the code uses, with its value', () => {
  const { number, ...sections } = isolationRules[2]!;
  expect(page).toContain(`(rules ${number})`);
  const used = Object.entries(sections).flatMap(([section, values]) =>
    Object.entries(values).map(([name, value]) => [`${section}.${name}`, JSON.parse(JSON.stringify(value))] as const),
  );
  expect(new Map([...stated].map(([name, value]) => [name, JSON.parse(value!)]))).toEqual(new Map(used));
});
