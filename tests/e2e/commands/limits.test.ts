// limits, limits presses: from files to proposals, and into a guide and nowhere else.
import { copyFile, mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { cli } from '../../support/command-line.ts';
import { ranRecord } from '../../support/ran-record.ts';
import { captured, chainOf, opened, opening, probe, proofs } from '../../support/sample-job.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

const example = (name: string) => fileURLToPath(new URL(`../../../examples/${name}`, import.meta.url));
const exampleGuide = example('field-recorder.yaml');
const exampleUnits = example('known-good.csv');

let cwd: string;
beforeAll(async () => {
  cwd = scratch();
});

interface Proposals {
  proposals: { check: string; verdict: string; limits: object | null; n: number; outliers: { unit: string }[] }[];
  notes: string[];
  written: string | null;
}

async function csv(name: string, ...rows: string[]): Promise<string> {
  const path = join(cwd, name);
  await writeFile(path, `${rows.join('\n')}\n`);
  return path;
}

const wires = (count: number, from = 0.3) =>
  Array.from({ length: count }, (_, i) => `L-${i},wire,${(from + 0.004 * Math.sin(i * 2.4)).toFixed(5)} ohm`);

describe('limits', () => {
  test('proposes from a file of units, side by side with the old ones; a doubt anywhere is exit 3', async () => {
    const { code, terminal } = await cli(cwd, ['limits', exampleGuide, exampleUnits]);
    expect(code).toBe(3);
    const text = terminal.outLines.join('\n');
    expect(text).toMatch(/old {2}at most 0\.6 ohm +new {2}at most 0\.\d+ ohm/);
    expect(text).toContain('unit WR-4191');
    // nothing beyond 80 columns but sentences
    for (const line of terminal.outLines.filter((each) => /^ {2}(old|new| {4})/.test(each))) {
      expect(line.length).toBeLessThanOrEqual(80);
    }
  });

  test('has the same as data', async () => {
    const { terminal } = await cli(cwd, ['limits', exampleGuide, exampleUnits, '--json']);
    const { proposals, written } = terminal.json as Proposals;
    expect(written).toBeNull();
    const verdicts = Object.fromEntries(proposals.map(({ check, verdict }) => [check, verdict]));
    expect(verdicts).toMatchObject({
      'key-closed': 'proposed',
      'key-released': 'none',
      'spring-b': 'doubtful',
      ground: 'doubtful',
    });
    expect(proposals.find(({ check }) => check === 'spring-b')!.outliers).toMatchObject([{ unit: 'WR-4191' }]);
  });

  test('writes what is without a doubt, and leaves every other line of the guide', async () => {
    const guide = join(cwd, 'guide.yaml');
    await copyFile(exampleGuide, guide);
    const args = [
      'limits',
      guide,
      exampleUnits,
      '--check',
      'spring-a',
      '--check',
      'spring-b',
      '--check',
      'supply',
      '--write',
    ];
    const { code, terminal } = await cli(cwd, args);
    expect(code).toBe(3);
    expect(terminal.said).toContain('2 of 3 checks');
    const [before, after] = await Promise.all([exampleGuide, guide].map((path) => readFile(path, 'utf8')));
    const changed = after!.split('\n').filter((line, i) => line !== before!.split('\n')[i]);
    expect(changed).toHaveLength(2);
    const withoutLimits = (text: string): string => text.replaceAll(/limits: [^,}\n]+/g, 'limits');
    expect(withoutLimits(after!)).toBe(withoutLimits(before!));
    expect((await cli(cwd, ['guide', 'check', guide])).code).toBe(0);
    // with the unit left out on purpose there is no doubt left
    const knowing = await cli(cwd, [
      'limits',
      guide,
      exampleUnits,
      '--check',
      'spring-b',
      '--leave-out',
      'WR-4191',
      '--write',
    ]);
    expect(knowing.code).toBe(0);
    expect(
      (await readFile(guide, 'utf8')).split('\n').filter((line, i) => line !== after!.split('\n')[i]),
    ).toHaveLength(1);
  });

  test('says once which checks were not done, in how many records, and how to have them done', async () => {
    const folder = join(cwd, 'in-part');
    await mkdir(folder);
    const checks = ['wire', 'apart'].map((id) => ({ id, title: id, kind: 'resistance' as const }));
    const guide = { ...opening.guide, id: 'short-lamp', checks };
    for (const serial of ['A', 'B', 'C']) {
      const device = { ...opening.device, serial };
      const done = serial === 'C' ? [captured('wire', 0.3)] : [];
      const entries = [{ ...opened, guide, device }, probe(), ...proofs('opening'), ...done, ...proofs('closing')];
      await writeFile(join(folder, `${serial}.owjob`), chainOf(entries).bytes);
    }
    const { terminal } = await cli(cwd, ['limits', shortGuide, folder, '--json']);
    const told = (terminal.json as Proposals).notes.filter((note) => note.startsWith('not done'));
    expect(told).toEqual(['not done in 3 of 3 records: apart', 'not done in 2 of 3 records: wire']);
    expect((terminal.json as Proposals).notes.at(-1)).toContain('--order guide');
  });

  test('takes job records, one unit counted once, and says what it left out', async () => {
    const folder = join(cwd, 'units');
    await mkdir(folder);
    const record = await ranRecord(folder, 'one.owjob');
    const rows = await csv('more.csv', 'unit,check,reading', ...wires(9));
    const { code, terminal } = await cli(cwd, ['limits', shortGuide, folder, record, rows, '--json']);
    const { proposals, notes } = terminal.json as Proposals;
    expect(code).toBe(3);
    expect(proposals.find(({ check }) => check === 'wire')).toMatchObject({
      n: 10,
      // a probe that was never calibrated can't tell units this much alike apart
      verdict: 'doubtful',
      reasons: [{ code: 'probe.coarse' }],
    });
    expect(proposals.find(({ check }) => check === 'apart')).toMatchObject({ verdict: 'none', limits: null });
    expect(notes.some((note) => note.includes('is a copy of'))).toBe(true);
    expect(notes.filter((note) => note.includes('emulated probe'))).toHaveLength(1);
    const other = await cli(cwd, ['limits', exampleGuide, record]);
    expect(other.code).toBe(3);
    expect(other.terminal.said).toContain('made with another guide');
  });

  test.each([
    ['no column', ['unit,check', 'L-1,wire'], 1],
    ['text for a number', ['unit,check,reading', 'L-1,wire,0.3 ohm', 'L-2,wire,fine'], 3],
    ['no unit of measurement', ['unit,check,reading', 'L-1,wire,0.3'], 2],
    ['a check that is not there', ['unit,check,reading', 'L-1,wyre,0.3 ohm'], 2],
    ['an unnamed unit', ['unit,check,reading', ',wire,0.3 ohm'], 2],
    ['an open quote', ['unit,check,reading', 'L-1,wire,"0.3 ohm'], 2],
    ['no rows', ['unit,check,reading'], 1],
    ['nothing', [''], 1],
  ])('refuses a file with %s by its line: exit 2, nothing written', async (name, rows, line) => {
    const path = await csv('bad.csv', ...rows);
    const guide = join(cwd, `guide-${name.replaceAll(' ', '-')}.yaml`);
    await copyFile(shortGuide, guide);
    const { code, terminal } = await cli(cwd, ['limits', guide, path, '--write']);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe('limits.csv');
    expect(terminal.said).toContain(`line ${line}:`);
    expect(await readFile(guide, 'utf8')).toBe(await readFile(shortGuide, 'utf8'));
  });

  test('refuses shares that are none, a check or unit or file that is not there', async () => {
    const rows = await csv('good.csv', 'unit,check,reading', ...wires(9));
    expect((await cli(cwd, ['limits', shortGuide, rows, '--coverage', '1.2'])).code).toBe(2);
    expect((await cli(cwd, ['limits', shortGuide, rows, '--check', 'wyre'])).code).toBe(2);
    expect((await cli(cwd, ['limits', shortGuide, rows, '--leave-out', 'L-77'])).code).toBe(2);
    expect((await cli(cwd, ['limits', shortGuide, join(cwd, 'none.csv')])).code).toBe(2);
    expect((await cli(cwd, ['limits', shortGuide])).code).toBe(2);
    expect((await cli(cwd, ['limits', shortGuide, rows, '--coverage', '90%', '--confidence', '0.9'])).code).toBe(0);
  });

  test('refuses limits that would make the guide contradict itself, and leaves it', async () => {
    const guide = join(cwd, 'own.yaml');
    await copyFile(shortGuide, guide);
    const rows = await csv('high.csv', 'unit,check,reading', ...wires(12).map((row) => row.replace(' ohm', ' Gohm')));
    const { code, terminal } = await cli(cwd, ['limits', guide, rows, '--write']);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe('limits.write');
    expect(await readFile(guide, 'utf8')).toBe(await readFile(shortGuide, 'utf8'));
  });
});

describe('limits presses', () => {
  test('prints success runs and characteristics, with and without a guide', async () => {
    const bare = await cli(cwd, ['limits', 'presses']);
    expect(bare.code).toBe(0);
    expect(bare.terminal.outLines.join('\n')).toMatch(/at least 95 % +59/);
    const { terminal } = await cli(cwd, ['limits', 'presses', exampleGuide, '--json']);
    const data = terminal.json as {
      checks: { check: string; shows: number }[];
      sequential: { p: number; accept: number }[];
    };
    expect(data.checks).toMatchObject([{ check: 'key-presses', count: 20 }]);
    // (1 - 0.95)^(1/20)
    expect(data.checks[0]!.shows).toBeCloseTo(0.8609, 4);
    expect(data.sequential.find(({ p }) => p === 0.1)!.accept).toBeLessThan(0.06);
  });

  test('refuses a plan that makes no sense: exit 2', async () => {
    const { code, terminal } = await cli(cwd, ['limits', 'presses', '--acceptable', '20%', '--rejectable', '10%']);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe('limits.plan');
  });
});
