// What a bench remembers for a day, and what it asks on its first start.
import { existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { dayFilePath, userSettingsPath } from '../../../src/cli/places/locations.ts';
import { printerOn } from '../../../src/cli/program/printer.ts';
import { keepDay, readDay } from '../../../src/cli/settings/bench-day.ts';
import { cautionsAccepted, cautionsByOption, keepCautionsRead } from '../../../src/cli/settings/cautions-accepted.ts';
import { askOnFirstStart } from '../../../src/cli/settings/first-start.ts';
import { cli, FakeTerminal } from '../../support/command-line.ts';
import { exampleGuide } from '../../support/example-guide.ts';
import { fakeTerminal } from '../../support/fake-terminal.ts';
import { refusal } from '../../support/sample-job.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

let cwd: string;
beforeEach(async () => {
  cwd = scratch();
});

class Bench extends FakeTerminal {
  at = new Date(2031, 4, 17, 12);

  constructor() {
    super(cwd);
    this.env.OHMWRIGHT_CONFIG = join(cwd, 'config.yaml');
  }

  override now(): Date {
    return this.at;
  }
}

const guide = exampleGuide('field-recorder');
const ids = guide.cautions.map(({ id }) => id);
const daily = { acceptCautions: undefined, cautions: 'day', port: '/dev/probe' } as const;

describe('cautions that are read once a day', () => {
  test('are asked again the next day, of another technician, and when their text is another', async () => {
    const bench = new Bench();
    const printer = printerOn(bench);
    expect(await cautionsAccepted(guide, 'Mo', daily, printer)).toEqual([]);
    await keepCautionsRead(guide, 'Mo', ids.slice(0, 2), daily, printer);
    expect(await cautionsAccepted(guide, 'Mo', daily, printer)).toEqual(ids.slice(0, 2));
    expect(await cautionsAccepted(guide, 'Al', daily, printer)).toEqual([]);
    const changed = { ...guide, cautions: guide.cautions.map((one) => ({ ...one, text: `${one.text} Now.` })) };
    expect(await cautionsAccepted(changed, 'Mo', daily, printer)).toEqual([]);
    bench.at = new Date(2031, 4, 18, 12);
    expect(await cautionsAccepted(guide, 'Mo', daily, printer)).toEqual([]);
  });

  test('are none where nobody is named, where each job asks, or where an option accepted them', async () => {
    const printer = printerOn(new Bench());
    await keepCautionsRead(guide, undefined, ids, daily, printer);
    await keepCautionsRead(guide, 'Mo', ids, { ...daily, cautions: 'job' }, printer);
    await keepCautionsRead(guide, 'Mo', ids, { ...daily, acceptCautions: 'all' }, printer);
    expect(await cautionsAccepted(guide, 'Mo', daily, printer)).toEqual([]);
  });

  test('are asked where the file of the day is no such file', async () => {
    const bench = new Bench();
    keepDay({ day: 'x', technician: 'Mo', cautions: [] }, bench);
    expect((await readDay(bench)).technician).toBe(null);
    await writeFile(dayFilePath(bench), '{"day":');
    expect((await readDay(bench)).technician).toBe(null);
  });
});

describe('--accept-cautions', () => {
  test('takes all, or names of the guide; another name is refused before anything is opened', async () => {
    expect(cautionsByOption(guide, 'all')).toEqual(ids);
    expect(cautionsByOption(guide, ` ${ids[1]} , ${ids[0]}`)).toEqual([ids[1], ids[0]]);
    expect(cautionsByOption(guide, undefined)).toEqual([]);
    await refusal(
      Promise.resolve().then(() => cautionsByOption(guide, `${ids[0]},foo`)),
      'usage.cautions',
    );
    const args = ['run', shortGuide, '--port', 'sim:', '--revision', 'A', '--accept-cautions', 'foo'];
    expect((await cli(cwd, args)).code).toBe(2);
    expect(existsSync(join(cwd, 'ohmwright-jobs'))).toBe(false);
  });
});

describe('a job for a probe that is not there', () => {
  test('is not opened: no record is left', async () => {
    const args = ['run', shortGuide, '--port', join(cwd, 'no-port'), '--revision', 'A'];
    expect((await cli(cwd, args)).code).toBe(4);
    expect(existsSync(join(cwd, 'ohmwright-jobs'))).toBe(false);
  });
});

describe('the first start on a terminal', () => {
  const started = (env: Record<string, string>, ask = { port: undefined as string | undefined, isOnScreen: true }) => {
    let shown = '';
    const seen = fakeTerminal((text) => {
      shown += text;
    });
    const terminal = printerOn({ ...seen.terminal, cwd, env });
    return { seen, told: askOnFirstStart(ask, { terminal, signal: new AbortController().signal }), shown: () => shown };
  };
  test('asks what matters, keeps the answers, and asks no more', async () => {
    const env = { HOME: cwd, TERM: 'xterm' };
    const { seen, told, shown } = started(env);
    for (const [asked, line] of ['', 'Shop', 'M. Example', '', 'dork', 'dark'].entries()) {
      await expect.poll(() => shown().split(']: ').length - 1).toBeGreaterThan(asked);
      seen.key(`${line}\r`);
    }
    expect(await told).toEqual({
      jobs: join(cwd, 'ohmwright-jobs'),
      name: 'Shop',
      technician: 'M. Example',
      background: 'dark',
    });
    const text = await readFile(userSettingsPath({ env, cwd }), 'utf8');
    expect(text).toContain('technician: M. Example\n');
    expect(await started(env).told).toBe(null);
  });

  test.each([
    ['a pipe or CI', {}, { port: undefined, isOnScreen: false }],
    ['an emulated probe', {}, { port: 'sim:', isOnScreen: true }],
    [
      'settings that somebody manages',
      { OHMWRIGHT_CONFIG: '/nowhere/config.yaml' },
      { port: undefined, isOnScreen: true },
    ],
  ])('asks nothing with %s', async (_what, env, ask) => {
    expect(await started({ HOME: cwd, ...env }, ask).told).toBe(null);
    expect(existsSync(join(cwd, '.config'))).toBe(false);
  });
});
