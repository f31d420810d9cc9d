// The configuration: one table of keys, four places that say them, and what is used in place of what can't be.
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { benchKeyPath, cacheFolder, dayFilePath, userSettingsPath } from '../../../src/cli/places/locations.ts';
import { loadSettings } from '../../../src/cli/settings/load-settings.ts';
import { settingNames, settingTable } from '../../../src/cli/settings/setting-table.ts';
import { settingsIn } from '../../../src/cli/settings/settings-file.ts';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

let cwd: string;
let userFile: string;
let jobs: string;
beforeEach(async () => {
  cwd = scratch();
  userFile = join(cwd, 'own', 'config.yaml');
  jobs = join(cwd, 'jobs');
  await mkdir(jobs);
  await mkdir(join(cwd, 'own'));
});
const env = (more: Record<string, string> = {}) => ({ OHMWRIGHT_CONFIG: userFile, OHMWRIGHT_JOBS: jobs, ...more });
const config = (args: string[], more: Record<string, string> = {}) =>
  cli(cwd, ['config', ...args], (terminal) => void Object.assign(terminal.env, env(more)));

describe('a setting', () => {
  test('is said by the user, more strongly by the shop, and most by the environment', async () => {
    const orderBy = async (more: Record<string, string> = {}) =>
      (await loadSettings({ env: env(more), cwd })).get('order');
    expect(await orderBy()).toBe('information');
    await writeFile(userFile, 'order: guide\n');
    expect(await orderBy()).toBe('guide');
    await writeFile(join(jobs, 'shop.yaml'), 'order: information\n');
    expect(await orderBy()).toBe('information');
    expect(await orderBy({ OHMWRIGHT_ORDER: 'guide' })).toBe('guide');
  });

  test('is overruled by an option, and what is left out is taken from it', async () => {
    const other = join(cwd, 'other');
    const listed = await cli(cwd, ['jobs'], (terminal) => void Object.assign(terminal.env, env()));
    expect(listed.terminal.said).toContain(jobs);
    const asked = await cli(cwd, ['jobs', '--jobs', other], (terminal) => void Object.assign(terminal.env, env()));
    expect(asked.terminal.said).toContain(other);
  });

  test('that is a path is meant from the folder of its file', async () => {
    await writeFile(userFile, 'calibrations: ../values\n');
    expect((await loadSettings({ env: env(), cwd })).get('calibrations')).toBe(join(cwd, 'values'));
  });

  test('has a reader that refuses what it does not take, and takes what it names as its fallback', () => {
    for (const name of settingNames) {
      const { read, fallback } = settingTable[name];
      expect(read('')).toBe(null);
      expect(read('a\0b')).toBe(null);
      if (typeof fallback === 'string') expect(read(fallback)).toBe(fallback);
    }
  });
});

describe('a file of settings', () => {
  test.each([
    ['an unknown key', 'bell: yes\nprot: /dev/x\n', 2, "'port'"],
    ['a value that is not taken', '# mine\n\nbackground: dork\n', 3, 'background'],
    ['a key said twice', 'order: guide\nbell: no\norder: information\n', 3, 'line 1'],
    ['a list in place of a text', 'port:\n  - a\n  - b\n', 1, 'port'],
    ['no YAML at all', 'order: guide\nbell: [\n', 3, 'Nothing'],
    ['no list of settings', 'just words\n', 1, 'Nothing'],
  ])('with %s: the line is named, and what is used in its place', (_what, text, line, word) => {
    const { problems } = settingsIn(text, 'config.yaml', 'user');
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain(`config.yaml, line ${line}:`);
    expect(problems[0]).toContain(word);
  });

  test('keeps what is good beside what is not', () => {
    const { values } = settingsIn('order: guide\nbackground: dork\nbell: yes\nnope: 1\n', 'config.yaml', 'user');
    expect(Object.fromEntries(values)).toEqual({ order: 'guide', bell: true });
  });

  test('of a shop says nothing that is a matter of each bench', () => {
    const { values, problems } = settingsIn(
      'port: /dev/x\nname: Shop\naddress: |\n  Lane 1\n  Town\n',
      'shop.yaml',
      'shop',
    );
    expect(Object.fromEntries(values)).toEqual({ name: 'Shop', address: 'Lane 1\nTown' });
    expect(problems).toHaveLength(1);
  });

  test('that is broken keeps no command from its work', async () => {
    await writeFile(userFile, 'order: [\n');
    const { code, terminal } = await cli(cwd, ['jobs'], (at) => void Object.assign(at.env, env()));
    expect(code).toBe(0);
    expect(terminal.said).toContain(`${userFile}, line`);
  });
});

describe('config', () => {
  test('sets, gets, lists with origin, and takes out again; comments stay', async () => {
    await writeFile(userFile, '# my bench\norder: guide # as I like it\n');
    expect((await config(['set', 'technician', 'M. Example'])).code).toBe(0);
    expect(await readFile(userFile, 'utf8')).toBe('# my bench\norder: guide # as I like it\ntechnician: M. Example\n');
    expect((await config(['get', 'technician'])).terminal.outLines).toEqual(['M. Example']);
    const { terminal } = await config(['list', '--json']);
    const { settings } = terminal.json as { settings: { key: string; value: unknown; origin: string }[] };
    expect(settings.map(({ key }) => key)).toEqual(settingNames);
    expect(settings.find(({ key }) => key === 'technician')).toMatchObject({ value: 'M. Example', origin: userFile });
    expect(settings.find(({ key }) => key === 'paper')).toMatchObject({ value: 'A4', origin: 'default' });
    expect(settings.find(({ key }) => key === 'jobs')).toMatchObject({ value: jobs, origin: 'OHMWRIGHT_JOBS' });
    expect((await config(['unset', 'technician'])).code).toBe(0);
    expect((await config(['get', 'technician'])).terminal.outLines).toEqual([]);
  });

  test("writes the shop's file beside the jobs, and says when another place is stronger", async () => {
    expect(
      (await config(['set', 'order', 'guide', '--shop'], { OHMWRIGHT_ORDER: 'information' })).terminal.said,
    ).toContain('OHMWRIGHT_ORDER');
    expect(await readFile(join(jobs, 'shop.yaml'), 'utf8')).toBe('order: guide\n');
    expect((await config(['set', 'port', '/dev/x', '--shop'])).code).toBe(2);
  });

  test('of two that contradict, names the one that counts and the one that does not', async () => {
    await writeFile(userFile, 'order: guide\n');
    await writeFile(join(jobs, 'shop.yaml'), 'order: information\n');
    const { settings } = (await config(['list', '--json'])).terminal.json as {
      settings: { key: string; origin: string; overruled: string[] }[];
    };
    const order = settings.find(({ key }) => key === 'order');
    expect(order).toMatchObject({ origin: join(jobs, 'shop.yaml'), overruled: [userFile] });
  });

  test.each([
    ['an unknown key', ['set', 'prot', 'x']],
    ['a value that is not taken', ['set', 'background', 'dork']],
    ['an empty value', ['set', 'port', '']],
    ['an unknown key to get', ['get', 'prot']],
  ])('refuses %s with 2 and writes nothing', async (_what, args) => {
    expect((await config(args)).code).toBe(2);
    expect((await config(['list'])).code).toBe(0);
  });

  test('refuses to write into a file that is broken, and leaves it as it is', async () => {
    await writeFile(userFile, 'order: [\n');
    expect((await config(['set', 'bell', 'yes'])).code).toBe(2);
    expect(await readFile(userFile, 'utf8')).toBe('order: [\n');
  });

  test('says where it can not write: exit 9', async () => {
    await writeFile(join(cwd, 'file'), '');
    const { code } = await config(['set', 'bell', 'yes'], { OHMWRIGHT_CONFIG: join(cwd, 'file', 'config.yaml') });
    expect(code).toBe(9);
  });
});

describe('places of the platform', () => {
  // XDG Base Directory Specification, version 0.8: empty or relative paths in XDG_* are to be ignored
  test.each([
    ['XDG', { XDG_CONFIG_HOME: '/x/cfg', XDG_STATE_HOME: '/x/st', HOME: '/h' }, '/x/cfg', '/x/st'],
    ['its defaults', { HOME: '/h' }, '/h/.config', '/h/.local/state'],
    ['empty variables', { XDG_CONFIG_HOME: '', XDG_STATE_HOME: '', HOME: '/h' }, '/h/.config', '/h/.local/state'],
    ['relative ones', { XDG_CONFIG_HOME: 'c', XDG_STATE_HOME: 's', HOME: '/h' }, '/h/.config', '/h/.local/state'],
    ['Windows', { APPDATA: '/u/Roaming', LOCALAPPDATA: '/u/Local', USERPROFILE: '/u' }, '/u/Roaming', '/u/Local'],
    ['no home', {}, '/cwd', '/cwd'],
  ])('by %s', (_what, at, settings, state) => {
    const here = { env: at as Record<string, string>, cwd: '/cwd' };
    expect(userSettingsPath(here)).toBe(join(settings, 'ohmwright', 'config.yaml'));
    expect(benchKeyPath(here)).toBe(join(settings, 'ohmwright', 'bench-key.pem'));
    expect(dayFilePath(here)).toBe(join(state, 'ohmwright', 'day.json'));
  });

  test.each([
    ['XDG', { XDG_CACHE_HOME: '/x/cache', HOME: '/h' }, '/x/cache'],
    ['its default', { HOME: '/h' }, '/h/.cache'],
    ['Windows', { LOCALAPPDATA: '/u/Local', USERPROFILE: '/u' }, '/u/Local'],
  ])('by %s hold what can be made again', (_what, env, folder) => {
    expect(cacheFolder({ env: env as Record<string, string>, cwd: '/cwd' })).toBe(join(folder, 'ohmwright'));
  });
});
