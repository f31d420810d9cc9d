// One thing, one name: every option and argument of every command, taken from the declarations, as one table.
import { describe, expect, test } from 'vitest';
import { isSetting } from '../../../src/cli/settings/setting-table.ts';
import { cli } from '../../support/command-line.ts';
import { type DeclaredOption, declaredCommands } from '../../support/declared-commands.ts';

const { options, takes, commands } = await declaredCommands();
const shown = options.filter(({ isHidden }) => !isHidden);

/** What an option is: its explanation up to the first `,`, `;`, `:` or `(`, which only say more of it in one command. */
const meaningOf = ({ about }: { about: string }): string => about.split(/[,;:(]/)[0]!.trim();

/** Returns the groups whose members do not agree, as lines that name command and option. */
function disagreeing<T extends { command: string; name: string }>(
  all: readonly T[],
  groupBy: (one: T) => string,
  told: (one: T) => string,
): string[] {
  const groups = new Map<string, T[]>();
  for (const one of all) groups.set(groupBy(one), [...(groups.get(groupBy(one)) ?? []), one]);
  return [...groups].flatMap(([group, members]) => {
    const sayings = [...new Set(members.map(told))];
    if (sayings.length === 1) return [];
    const lines = members.map((one) => `${one.command}: ${told(one)}`);
    return [`'${group}' is ${sayings.length} things: ${[...new Set(lines)].join(' | ')}`];
  });
}

/** A filter of `jobs` asks by a text for what a session's option names by its file. */
const asked = shown.filter(({ command, name }) => `${command} --${name}` !== 'jobs --device');

const flagOf = ({ name, value }: DeclaredOption): string => `--${name} ${value}`.trim();

describe('an option', () => {
  test('of one name takes the same in every command', () => {
    expect(disagreeing(asked, ({ name }) => name, flagOf)).toEqual([]);
  });

  test('of one name says the same in every command: word its explanation alike, or give it a name of its own', () => {
    expect(disagreeing(asked, ({ name }) => name, meaningOf)).toEqual([]);
  });

  test('that says the same as another one has its name', () => {
    expect(disagreeing(shown, meaningOf, ({ name }) => name)).toEqual([]);
  });

  test('that has the name of a setting is said by it, and names it; but for a filter', () => {
    const filters = ['health --port', 'priors --ledger'];
    const bare = shown.filter(
      ({ command, name, about }) =>
        isSetting(name) && !about.includes(`(setting: ${name})`) && !filters.includes(`${command} --${name}`),
    );
    // `config list` is itself asked which settings there are
    expect(bare.map(({ command, name }) => `${command} --${name}`)).toEqual(['config list --jobs']);
  });

  test('is written in small letters and dashes, and explained without a full stop', () => {
    const odd = shown.filter(
      ({ name, about }) => !/^[a-z]+(-[a-z]+)*$/.test(name) || /\.$/.test(about) || about === '',
    );
    expect(odd.map(({ command, name }) => `${command} --${name}`)).toEqual([]);
  });

  test('that is hidden is an older spelling, and the command has another one that is shown', () => {
    const hidden = options.filter(({ isHidden }) => isHidden);
    expect(hidden.map(({ command, name }) => `${command} --${name}`).sort()).toEqual([
      'calibrate fit --serial',
      'health --width',
      'jobs --device',
      'jobs --open',
      'priors --emulated',
      'priors --write',
      'report --csv',
      'sim --hands',
    ]);
  });

  test('takes what is named by one word for one thing', () => {
    const words = new Set(shown.map(({ value }) => value).filter((value) => value !== ''));
    expect([...words].sort()).toEqual(valueWords);
  });
});

/** What may stand behind an option. A new word is a new thing: look first whether one of these says it. */
const valueWords = [
  '<address>', // HOST:PORT
  '<addresses>', // several
  '<answer>', // CHECK=yes|no|unsure
  '<celsius>',
  '<check>', // id of a check
  '<columns>',
  '<day>', // YYYY-MM-DD
  '<fault>', // LINK=MODE
  '<file>',
  '<folder>',
  '<form>',
  '<id>', // of a key, a unit or a state of disassembly
  '<ids>', // of cautions
  '<job>',
  '<key>', // of a bench
  '<kind>',
  '<marking>', // of a resistor
  '<n>',
  '<name>',
  '<p>', // share or probability
  '<pads>', // PAD,PAD
  '<paper>',
  '<path>', // of a port
  '<reader>',
  '<result>',
  '<serial>', // of a probe
  '<state>',
  '<text>',
  '<unit>',
  '<value>', // CHECK=VALUE
  '<when>',
  '<who>',
  '<why>',
];

describe('an argument', () => {
  test('of one name is one thing in every command', () => {
    expect(disagreeing(takes, ({ name }) => name, meaningOf)).toEqual([]);
  });

  test('that is the same as another one has its name, or the plural', () => {
    expect(disagreeing(takes, meaningOf, ({ name }) => name.replace(/s$/, ''))).toEqual([]);
  });
});

test('the table is of all commands', () => {
  expect(commands.length).toBeGreaterThan(30);
  expect(shown.length).toBeGreaterThan(100);
});

describe('an older spelling', () => {
  const points = ['calibrate', 'fit', 'examples/bench-points.csv', '--set', 'examples/bench-resistors.yaml', '--json'];
  const root = new URL('../../../', import.meta.url).pathname;

  test('means what the new one means', async () => {
    const told = async (...more: string[]) => (await cli(root, [...points, ...more])).terminal.json;
    expect(await told('--serial', '12')).toEqual(await told('--probe', '0000000C'));
    expect(await told('--serial', '12')).not.toEqual(await told('--probe', 'D'));
  });

  test('counts for nothing beside the new one', async () => {
    const told = async (...more: string[]) => (await cli(root, [...points, ...more])).terminal.json;
    expect(await told('--serial', '12', '--probe', 'D')).toEqual(await told('--probe', 'D'));
  });

  test('is not in the help', async () => {
    const { terminal } = await cli(root, ['calibrate', 'fit', '--help']);
    expect(terminal.outLines.join('\n')).toContain('--probe');
    expect(terminal.outLines.join('\n')).not.toContain('--serial');
  });
});
