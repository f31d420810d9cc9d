// What --json prints: each command's form is published as JSON Schema, and each key means one thing in all of them.
// Beside this, every test that runs a command with --json holds its output against the form (tests/support/command-line.ts).
import { describe, expect, test } from 'vitest';
import type { z } from 'zod';
import { keyMeanings, keyTables } from '../../../src/cli/outputs/key-meanings.ts';
import { publishedSchema } from '../../../src/cli/outputs/published-schema.ts';
import { commandList } from '../../../src/cli/program/command-list.ts';
import { cli } from '../../support/command-line.ts';
import { declaredCommands } from '../../support/declared-commands.ts';
import { scratch } from '../../support/scratch.ts';

const forms: { command: string; form: z.ZodType }[] = [];
for (const { name, load } of commandList) {
  const prints = (await load?.())?.default.prints;
  if (prints !== undefined) forms.push({ command: name, form: (await prints()) as z.ZodType });
}

/** One key of one command's JSON, with what kind of value it has. */
interface UsedKey {
  command: string;
  key: string;
  type: string;
}

/** Returns every key of a form, but for those of a record (its format names them) and for older names. */
function keysOf(form: z.ZodType, command: string): UsedKey[] {
  const { ofRecord, deprecated } = (form.meta() ?? {}) as { ofRecord?: boolean; deprecated?: boolean };
  if (ofRecord === true || deprecated === true) return [];
  const { def } = form as unknown as { def: Def };
  switch (def.type) {
    case 'object':
      return Object.entries(def.shape ?? {}).flatMap(([key, of]) =>
        isOlder(of) ? [] : [{ command, key, type: typeOf(of) }, ...keysOf(of, command)],
      );
    case 'array':
      return keysOf(def.element!, command);
    case 'record':
      return keysOf(def.valueType!, command);
    case 'union':
      return def.options!.flatMap((one) => keysOf(one, command));
    case 'optional':
    case 'nullable':
      return keysOf(def.innerType!, command);
    default:
      return [];
  }
}

interface Def {
  type: string;
  shape?: Record<string, z.ZodType>;
  element?: z.ZodType;
  valueType?: z.ZodType;
  options?: z.ZodType[];
  innerType?: z.ZodType;
}

/** Also of an older name that may be left out. */
function isOlder(form: z.ZodType): boolean {
  const { def } = form as unknown as { def: Def };
  const isMarked = (form.meta() as { deprecated?: boolean } | undefined)?.deprecated === true;
  return isMarked || (def.innerType !== undefined && isOlder(def.innerType));
}

/** Text, number, boolean, list or object: what a script has to know of a value. */
function typeOf(form: z.ZodType): string {
  const { def } = form as unknown as { def: Def & { values?: unknown[] } };
  if (def.type === 'optional' || def.type === 'nullable') return typeOf(def.innerType!);
  if (def.type === 'enum') return 'text';
  if (def.type === 'literal') return typeof def.values?.[0] === 'string' ? 'text' : typeof def.values?.[0];
  if (def.type === 'union') return [...new Set(def.options!.map(typeOf))].sort().join(' or ');
  const named: Record<string, string> = { string: 'text', array: 'list', record: 'object', int: 'number' };
  return named[def.type] ?? def.type;
}

const used = forms.flatMap(({ command, form }) => keysOf(form, command));

/** Keys that have values of several types: their place tells them apart, and scripts hold them. None may be added. */
const twofold = [
  'about', // one thing; several ids
  'after', // outcome; weight
  'before', // outcome; weight
  'captures', // how many; of replay: each
  'code', // of an error; of a point
  'doubt', // why; of a reason: whether
  'evidence', // of one attempt; of all
  'next', // the best; of calibrate fit: the best five
  'proofs', // how they stand; how many; each
  'repairs', // how many before an attempt; each
  'rules', // all of a record; of one statement
  'series', // name; each
  'stands', // of a departure: whatever stands there
  'state', // one word; of show: all
  'value', // of a reading; of a setting
];

describe('--json', () => {
  test('of every command that has it has a form, and no other command has one', async () => {
    const { options } = await declaredCommands();
    const withJson = [...new Set(options.filter(({ name }) => name === 'json').map(({ command }) => command))];
    expect(forms.map(({ command }) => command).sort()).toEqual(withJson.sort());
    expect(forms.length).toBeGreaterThan(20);
  });

  test('uses keys whose meaning stands in one of the tables: a new key is explained there, or one that is there is used', () => {
    const unknown = used.filter(({ key }) => keyMeanings[key] === undefined);
    expect(unknown.map(({ command, key }) => `${command}: ${key}`)).toEqual([]);
  });

  test('has no meaning in two tables or under two keys, and none that no command uses', () => {
    const keys = keyTables.flatMap((table) => Object.keys(table));
    expect(keys.filter((key, at) => keys.indexOf(key) !== at)).toEqual([]);
    const meanings = Object.values(keyMeanings);
    expect(meanings.filter((meaning, at) => meanings.indexOf(meaning) !== at)).toEqual([]);
    const inUse = new Set(used.map(({ key }) => key));
    expect(keys.filter((key) => !inUse.has(key))).toEqual([]);
  });

  test('gives a key values of one type in every command', () => {
    const types = new Map<string, Set<string>>();
    for (const { key, type } of used) types.set(key, (types.get(key) ?? new Set()).add(type));
    const several = [...types].filter(([key, of]) => of.size > 1 && !twofold.includes(key));
    const where = ([key, of]: [string, Set<string>]): string =>
      `'${key}' is ${[...of].join(' and ')} in ${[...new Set(used.filter((one) => one.key === key).map((one) => one.command))].join(', ')}`;
    expect(several.map(where)).toEqual([]);
    expect(twofold.filter((key) => (types.get(key)?.size ?? 0) < 2)).toEqual([]);
  });

  test('has keys in small letters and capitals', () => {
    expect(used.filter(({ key }) => !/^[a-z][A-Za-z0-9]*$/.test(key)).map(({ key }) => key)).toEqual([]);
  });
});

describe('schema', () => {
  test('lists the commands that print JSON', async () => {
    const { terminal } = await cli('.', ['schema']);
    expect(terminal.outLines).toEqual(forms.map(({ command }) => command));
  });

  test.each(forms)(
    'of $command is JSON Schema 2020-12, explains each key, and knows no key beside',
    async ({ command, form }) => {
      const { terminal } = await cli('.', ['schema', ...command.split(' ')]);
      const printed = JSON.parse(terminal.outLines.join('\n'));
      expect(printed).toEqual(JSON.parse(JSON.stringify(publishedSchema(command, form))));
      expect(printed.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
      expect(JSON.stringify(printed)).not.toContain('"ofRecord"');
    },
  );

  test('of a command that has none: exit 2', async () => {
    expect((await cli('.', ['schema', 'label'])).code).toBe(2);
  });
});

test('a form refuses a key that it does not know', async () => {
  const form = forms.find(({ command }) => command === 'doctor')!.form;
  const { terminal } = await cli(scratch(), ['doctor', '--port', 'sim:', '--json']);
  expect(form.safeParse(terminal.json).success).toBe(true);
  expect(form.safeParse((terminal.json as object[]).map((one) => ({ ...one, extra: 1 }))).success).toBe(false);
});
