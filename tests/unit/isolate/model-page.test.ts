import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { faultModes, faultWeight, linkKindNames } from '../../../src/guide/circuit/link-kinds.ts';
import { isolationRules } from '../../../src/isolate/rules/rules.ts';

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

test('the page of the model states the weight of every way in which a kind of link can fail', () => {
  const own = Object.fromEntries(
    linkKindNames.map((kind) => {
      const link = { id: 'l', from: 'a', to: 'b', kind, ohm: 1, spread: 0, unit: 'u', weights: {}, near: ['c'] };
      return [
        kind,
        faultModes
          .map((mode) => String(faultWeight({ ...link, normally: 'closed' }, mode)))
          .map((w) => (w === '0' ? '' : w)),
      ];
    }),
  );
  const rows = page.split('\n').map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );
  const header = rows.findIndex(([first]) => first === 'kind of link');
  expect(rows[header]!.slice(1)).toEqual([...faultModes]);
  const stated = rows.slice(header + 2, header + 2 + linkKindNames.length);
  expect(Object.fromEntries(stated.map(([kind, ...cells]) => [kind!.replaceAll('`', ''), cells]))).toEqual(own);
});
