// Guides, revisions and options that can't be used: where it is wrong, exit 2, and no record begun.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { cli } from '../../support/command-line.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

const good = readFileSync(shortGuide, 'utf8');
let cwd: string;
beforeEach(async () => {
  cwd = scratch();
});

/** Writes the short guide with one change; returns its path and the 1-based line of the change. */
function spoilt(name: string, from: string, to: string): { path: string; line: number } {
  const at = good.indexOf(from);
  if (at < 0) throw new Error(`the guide has no '${from}'`);
  const path = join(cwd, name);
  writeFileSync(path, good.slice(0, at) + to + good.slice(at + from.length));
  return { path, line: good.slice(0, at).split('\n').length };
}

/** One problem a line: `file:line:column: ...` */
const places = (text: string, path: string): number[] =>
  [...text.matchAll(/:(\d+):(\d+): /g)].filter(() => text.includes(basename(path))).map((match) => Number(match[1]));

const spoilings: [string, string, string][] = [
  ['broken YAML', 'units:\n', 'units: [\n'],
  ['an unknown pad', 'pads: [P1, P2]', 'pads: [P1, P9]'],
  ['limits without a unit', 'limits: max 1 ohm', 'limits: max 1'],
  ['limits in the wrong unit', 'limits: max 1 ohm', 'limits: max 1 V'],
  ['a resistance without a unit', 'ohm: 300 mohm', 'ohm: 300'],
  ['a field that nobody knows', 'prompt: Touch both ends', 'promt: Touch both ends'],
  ['a link to nowhere', 'from: A, to: FAR', 'from: A, to: AFAR'],
];

describe('a guide with', () => {
  test.each(spoilings)('%s: its line is named, exit 2, and run begins no job', async (_what, from, to) => {
    const { path, line } = spoilt('guide.yaml', from, to);
    const checked = await cli(cwd, ['guide', 'check', path]);
    expect(checked.code).toBe(2);
    const lines = places(checked.terminal.outLines.join('\n'), path);
    // a bracket that is never closed is noticed further down
    if (to.includes('[\n')) expect(Math.min(...lines)).toBeGreaterThanOrEqual(line);
    else expect(lines).toContain(line);
    const run = await cli(cwd, ['run', path, '--order', 'guide', '--port', 'sim:', '--revision', 'A', '--json']);
    expect(run.code).toBe(2);
    expect(run.terminal.errorCode).toBe('guide.invalid');
    expect(places(run.terminal.said, path).length).toBeGreaterThan(0);
    expect(run.terminal.outLines).toEqual([]);
    expect(readdirSync(cwd)).toEqual(['guide.yaml']);
  });

  test('limits that nothing can meet: guide check says so in JSON with line and code', async () => {
    const { path, line } = spoilt('guide.yaml', 'limits: max 1 ohm', 'limits: 2..1 ohm');
    const { code, terminal } = await cli(cwd, ['guide', 'check', path, '--json']);
    expect(code).toBe(2);
    const [{ ok, problems }] = terminal.json as [{ ok: boolean; problems: { line: number; severity: string }[] }];
    expect(ok).toBe(false);
    expect(problems.filter(({ severity }) => severity === 'error').map((problem) => problem.line)).toContain(line);
  });

  test('limits that a healthy device does not meet: guide check says so, and no device is judged by it', async () => {
    const { path, line } = spoilt('guide.yaml', 'limits: max 1 ohm', 'limits: max 100 mohm');
    expect((await cli(cwd, ['guide', 'check', path])).code).toBe(2);
    for (const args of [
      ['run', path, '--port', 'sim:', '--revision', 'A'],
      ['start', path, '--plain', '--port', 'sim:', '--revision', 'A'],
      ['suspects', path],
    ]) {
      const { code, terminal } = await cli(cwd, args);
      expect(code).toBe(2);
      expect(places(terminal.said, path)).toContain(line);
      expect(terminal.outLines).toEqual([]);
    }
    expect(readdirSync(cwd)).toEqual(['guide.yaml']);
  });
});

describe('a guide file that', () => {
  test('is missing, or a folder: its name, exit 2', async () => {
    for (const path of [join(cwd, 'none.yaml'), cwd]) {
      for (const args of [
        ['guide', 'check', path],
        ['guide', 'predict', path],
        ['run', path, '--order', 'guide', '--port', 'sim:'],
      ]) {
        const { code, terminal } = await cli(cwd, args);
        expect(code).toBe(2);
        if (args[1] !== 'check') expect(terminal.errorCode).toBe('guide.read');
      }
    }
  });
});

describe('a guide file in another encoding', () => {
  test('is refused, so that its digest in a record is one of the text that stands there', async () => {
    const path = join(cwd, 'latin.yaml');
    writeFileSync(
      path,
      Buffer.from(good.replace('Touch both ends', 'Touch both ends (0.3 \u00b5V at most)'), 'latin1'),
    );
    for (const args of [
      ['guide', 'check', path],
      ['run', path, '--order', 'guide', '--port', 'sim:', '--revision', 'A'],
    ]) {
      const { code, terminal } = await cli(cwd, args);
      expect(code).toBe(2);
      if (args[0] === 'run') expect(terminal.errorCode).toBe('guide.encoding');
    }
    expect(readdirSync(cwd)).toEqual(['latin.yaml']);
  });
});

describe('a revision', () => {
  const onSim = ['run', shortGuide, '--order', 'guide', '--port', 'sim:', '--json'];

  test("that the guide does not hold for is refused with the guide's reason, exit 2, no record", async () => {
    const { code, terminal } = await cli(cwd, [...onSim, '--revision', 'C']);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe('guide.revision');
    expect(readdirSync(cwd)).toEqual([]);
  });

  test('that the guide has never heard of is refused', async () => {
    const { code, terminal } = await cli(cwd, [...onSim, '--revision', 'D']);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe('guide.revision');
  });

  test('has to be said when the guide holds for several', async () => {
    const { code, terminal } = await cli(cwd, onSim);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe('usage.run');
  });

  test('may be overridden; reason and override stand in the record', async () => {
    const record = join(cwd, 'c.owjob');
    const why = 'resistor bridged by hand';
    const { code } = await cli(cwd, [...onSim, '--revision', 'C', '--override', why, '--record', record]);
    expect(code).toBe(0);
    const { terminal } = await cli(cwd, ['show', record, '--json']);
    const { entries } = terminal.json as { entries: { kind: string; revision?: object }[] };
    expect(entries[0]).toMatchObject({
      kind: 'opened',
      revision: { holds: false, reason: 'the switch of C has a resistor of its own', override: why },
    });
    const verified = await cli(cwd, ['verify', record, '--json']);
    expect(verified.code).toBe(0);
  });
});

describe('options', () => {
  const wrong: [string, string[], string][] = [
    ['a command that is none', ['measure'], 'commander.unknownCommand'],
    ['an option that is none', ['run', shortGuide, '--order', 'guide', '--fast'], 'commander.unknownOption'],
    ['a seed that is no number', ['run', shortGuide, '--order', 'guide', '--seed', 'x'], 'commander.invalidArgument'],
    [
      'a fault on no link',
      ['run', shortGuide, '--order', 'guide', '--port', 'sim:', '--revision', 'A', '--fault', 'wire-z=open'],
      'usage.fault',
    ],
    [
      'a fault of no kind',
      ['run', shortGuide, '--order', 'guide', '--port', 'sim:', '--revision', 'A', '--fault', 'wire-a=bent'],
      'usage.fault',
    ],
    ['no guide', ['run', '--port', 'sim:'], 'usage.run'],
    ['a guide beside --resume', ['run', shortGuide, '--order', 'guide', '--resume', 'x.owjob'], 'usage.run'],
    ['a pair with an unknown pad', ['guide', 'predict', shortGuide, '--between', 'P1,P9'], 'usage.pad'],
    ['a pair of one', ['guide', 'predict', shortGuide, '--between', 'P1'], 'usage.pads'],
    ['a bridge to itself', ['guide', 'predict', shortGuide, '--bridge', 'P1,P1'], 'usage.pads'],
    ['a key that is none', ['guide', 'predict', shortGuide, '--pressed', 'zap'], 'usage.key'],
    ['a meter without a device', ['meter', '--port', 'sim:'], 'usage.meter'],
    ['limits that are none', ['replay', shortGuide, '--limits', 'about right'], 'usage.limits'],
    ['a byte log that is not there', ['replay', 'none.owbytes'], 'file.missing'],
    ['a folder for a byte log', ['replay', '/'], 'file.not-regular'],
    ['a script with a pad that is none', ['sim', '--guide', shortGuide, '--script', 'bad.hands'], 'sim.script'],
    ['a link where a file stands', ['sim', '--guide', shortGuide, '--link', 'kept.txt'], 'sim.link'],
  ];

  test.each(wrong)('%s: exit 2, what was wrong is named, nothing on stdout', async (_what, args, error) => {
    const inFolder = new Set(['bad.hands', 'kept.txt', 'none.owbytes']);
    writeFileSync(join(cwd, 'bad.hands'), 'lift\ntouch P1 P9\n');
    writeFileSync(join(cwd, 'kept.txt'), 'kept');
    const { code, terminal } = await cli(
      cwd,
      args.map((arg) => (inFolder.has(arg) ? join(cwd, arg) : arg)),
    );
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe(error);
    expect(terminal.outLines).toEqual([]);
    expect(readFileSync(join(cwd, 'kept.txt'), 'utf8')).toBe('kept');
    expect(readdirSync(cwd).sort()).toEqual(['bad.hands', 'kept.txt']);
  });
});
