// What keeps a bench from its work, on systems that are made up, and what the package brings with it.
import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { type BenchFacts, benchFindings } from '../../../src/cli/first-use/bench-findings.ts';
import { commandList, groups } from '../../../src/cli/program/command-list.ts';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

const sound: BenchFacts = {
  platform: 'linux',
  node: '24.0.0',
  ports: [{ path: '/dev/p0', code: null, what: 'a probe answers', help: '' }],
  isRoot: false,
  hasUdevRule: true,
  udevRule: '/app/70-ohmwright.rules',
  portGroups: [{ name: 'dialout', isMember: true }],
  hasUnicode: true,
  language: 'en',
  screen: { cols: 80, rows: 24 },
  key: { path: '/h/key.pem', isThere: true, problem: null },
  jobs: { folder: '/h/jobs', problem: null },
  settingProblems: [],
  browser: 'xdg-open',
};
const found = (facts: Partial<BenchFacts>, what: string) =>
  benchFindings({ ...sound, ...facts }).find((one) => one.what === what);
const forbidden = [{ path: '/dev/p0', code: 'port.forbidden', what: 'You may not open it', help: 'Ask.' }];

describe('doctor', () => {
  test('finds nothing at a sound bench', () => {
    expect(benchFindings(sound).every(({ state }) => state === 'good')).toBe(true);
  });

  test('names the one command that mends a port that may not be opened', () => {
    const port = found({ ports: forbidden, hasUdevRule: false }, 'port');
    expect(port).toMatchObject({ state: 'wrong', exitCode: 4 });
    expect(port?.mend).toContain('sudo cp /app/70-ohmwright.rules /etc/udev/rules.d/');
    expect(found({ ports: forbidden, platform: 'darwin' }, 'port')?.mend).toBe('Ask.');
  });

  test.each([
    ['no port', { ports: [] }, 'port', 'wrong', 4],
    ['a folder that takes no records', { jobs: { folder: '/h', problem: 'read-only' } }, 'jobs', 'wrong', 6],
    ['a key that is of no use', { key: { path: '/k', isThere: true, problem: 'no key' } }, 'key', 'wrong', 6],
    ['settings that are not understood', { settingProblems: ['line 3'] }, 'settings', 'wrong', 2],
    ['a locale without words', { language: 'de' }, 'language', 'note', 0],
    ['no UTF-8', { hasUnicode: false }, 'locale', 'note', 0],
    ['a terminal of 40 columns', { screen: { cols: 40, rows: 24 } }, 'terminal', 'note', 0],
    ['a pipe', { screen: null }, 'terminal', 'note', 0],
    ['no browser', { browser: null }, 'browser', 'note', 0],
  ])('of %s says so', (_what, facts, what, state, exitCode) => {
    expect(found(facts, what)).toMatchObject({ state, exitCode });
  });

  test('looks for rules and groups on Linux only', () => {
    for (const platform of ['darwin', 'win32'] as const) {
      expect(found({ platform }, 'udev')).toBeUndefined();
      expect(found({ platform }, 'group')).toBeUndefined();
    }
  });

  test('runs: every finding as data', async () => {
    const { code, terminal } = await cli(await scratch(), ['doctor', '--port', 'sim:', '--json']);
    expect(code).toBe(0);
    expect((terminal.json as { what: string }[]).map(({ what }) => what)).toContain('key');
  });
});

describe('example', () => {
  test('copies what is named into examples here, where it works as the pages have it', async () => {
    const cwd = await scratch();
    const { code } = await cli(cwd, ['example', 'field-recorder.yaml', 'known-good']);
    expect(code).toBe(0);
    expect(existsSync(join(cwd, 'examples', 'known-good.csv'))).toBe(true);
    expect((await cli(cwd, ['guide', 'check', join(cwd, 'examples', 'field-recorder.yaml')])).code).toBe(0);
    const { terminal } = await cli(cwd, ['guide', 'check', '--json', join(cwd, 'examples', 'field-recorder.yaml')]);
    expect(terminal.outLines.join('')).not.toContain('picture.refused');
    expect((await cli(cwd, ['example', 'known-good'])).code).toBe(9);
    expect((await cli(cwd, ['example', 'feild-recorder'])).code).toBe(2);
  });
});

test('every command stands under a heading of the help', () => {
  const below = commandList.filter(({ name }) => !name.includes(' '));
  const listed = Object.values(groups).flat();
  expect(below.filter(({ name }) => !listed.includes(name)).map(({ name }) => name)).toEqual([]);
  expect(listed.filter((name) => !below.some((one) => one.name === name))).toEqual([]);
});

describe('the package', () => {
  const packed = JSON.parse(
    execFileSync('npm', ['pack', '--dry-run', '--json', '--ignore-scripts'], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    }),
  ) as
    | { files: { path: string }[]; unpackedSize: number }[]
    | Record<string, { files: { path: string }[]; unpackedSize: number }>;
  const [only] = Object.values(packed);
  const paths = only!.files.map(({ path }) => path);

  test('brings program, examples, firmware and pages, and nothing else', () => {
    const allowed =
      /^(dist\/(src|sim)\/.*\.(js|json)|dist\/package\.json|examples\/|firmware-protocol\/|README\.md|src\/[a-z-]+\/(README|THREATS)\.md|LICENSE|package\.json)/;
    expect(paths.filter((path) => !allowed.test(path))).toEqual([]);
    expect(paths).toEqual(
      expect.arrayContaining(['README.md', 'examples/field-recorder.yaml', 'firmware-protocol/firmware/probe.hex']),
    );
  });

  test('brings no tests, and no record but the sample', () => {
    expect(paths.filter((path) => /(^|\/)tests?\/|\.test\./.test(path))).toEqual([]);
    expect(paths.filter((path) => path.endsWith('.owjob'))).toEqual(['examples/field-recorder.owjob']);
  });
});
