import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parseCalibrationText } from '../../../src/record/store/calibration-file.ts';
import { readRecord } from '../../../src/record/store/read-record.ts';
import { cli } from '../../support/command-line.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

const some = ['0.22 ohm', '0.82 ohm', '4.7 ohm', '33 ohm', '470 ohm', '2.2 kohm', '47 kohm', '470 kohm', '2.2 Mohm'];
const resistors = some.flatMap((value) => ['--resistor', `${value} 0.1 %`]);
const sitting = ['calibrate', '--port', 'sim:', '--hands', '--json', '--seed', '5'];

describe('a sitting on the command line', { timeout: 90_000 }, () => {
  test('puts a calibration in force, which a job then uses', async () => {
    const folder = scratch();
    const { code, terminal } = await cli(folder, [...sitting, ...resistors, '--write-probe', '--temperature', '21.5']);
    expect(code).toBe(0);
    const told = terminal.json as { stored: { path: string } };
    expect(told).toMatchObject({ verdict: 'good', inProbe: true });
    const held = parseCalibrationText(await readFile(told.stored.path, 'utf8'));
    expect(held).toMatchObject({ ok: true, content: { temperatureC: 21.5, calibration: { probeSerial: 900_005 } } });

    const run = ['run', shortGuide, '--order', 'guide', '--port', 'sim:', '--seed', '5', '--revision', 'A', '--json'];
    const job = await cli(folder, [...run, '--record', join(folder, 'a.owjob'), '--accept-cautions', 'all']);
    expect(job.code).toBe(0);
    const { entries } = await readRecord(join(folder, 'a.owjob'));
    const probe = entries.find((entry) => entry.kind === 'probe');
    expect(probe!.calibration).toMatchObject({ source: 'file', drift: { periods: 1, temperatureC: 21.5 } });
    const proof = entries.find((entry) => entry.kind === 'proof' && entry.what === 'check-resistor');
    if (proof?.kind !== 'proof') throw new Error('no proof');
    expect(proof.expected.max - proof.expected.min).toBeLessThan(8);
    expect(Object.keys(proof.reading!.parts!)).toContain('temperature');
    const checked = await cli(folder, ['verify', join(folder, 'a.owjob')]);
    expect(checked.code).toBe(0);
  });

  test('with emulated hands and no resistors named presents the example set, and says so', async () => {
    const folder = scratch();
    const { code, terminal } = await cli(folder, ['calibrate', '--port', 'sim:', '--hands', '--seed', '6']);
    expect(code).toBe(0);
    expect(terminal.said).toContain('example set BENCH-A');
    const files = await readdir(join(folder, 'ohmwright-calibrations'));
    expect(files.filter((name) => name.endsWith('.owcal.json'))).toHaveLength(1);
  });

  test('that is doubtful changes nothing that is in force, and leaves its points to be fitted', async () => {
    const folder = scratch();
    const few = ['--resistor', '470 ohm 0.1 %', '--resistor', '1 kohm 0.1 %'];
    const { code, terminal } = await cli(folder, [...sitting, ...few]);
    expect(code).toBe(3);
    expect(terminal.json).toMatchObject({ verdict: 'doubtful', stored: null });
    const files = await readdir(join(folder, 'ohmwright-calibrations'));
    expect(files).toEqual([expect.stringMatching(/\.points\.csv$/)]);
    const points = join(folder, 'ohmwright-calibrations', files[0]!);
    const fitted = await cli(folder, ['calibrate', 'fit', points, '--json']);
    expect(fitted.terminal.json).toMatchObject({ verdict: 'doubtful' });

    const accepted = await cli(folder, [...sitting, ...few, '--accept-doubtful']);
    expect(accepted.code).toBe(0);
    expect((accepted.terminal.json as { stored: { path: string } }).stored.path).toMatch(/\.owcal\.json$/);
  });
});

describe('a sitting refuses', () => {
  test.each<[string, string[], string]>([
    ['an emulated probe without hands', ['calibrate', '--port', 'sim:'], 'usage.hands'],
    ['a resistor that is none', [...sitting, '--resistor', 'elephant'], 'usage.resistor'],
    ['a resistor without a tolerance', [...sitting, '--resistor', '470 ohm'], 'usage.resistor'],
    ['a validity of no days', [...sitting, '--valid-days', '0'], 'commander.invalidArgument'],
    ['a folder for a set', [...sitting, '--set', '/'], 'file.not-regular'],
    ['a temperature that is none', [...sitting, '--temperature', 'warm'], 'commander.invalidArgument'],
    ['a set that is not there', [...sitting, '--set', 'nowhere.yaml'], 'file.missing'],
  ])('%s, with its code and exit code 2', async (_, args, error) => {
    const folder = scratch();
    const { code, terminal } = await cli(folder, args);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe(error);
    expect(await readdir(folder)).toEqual([]);
  });

  test('a folder that is a file, before anything is touched: exit code 6', async () => {
    const folder = scratch();
    const file = join(folder, 'file');
    await writeFile(file, 'x');
    for (const name of [file, join(file, 'deeper')]) {
      const { code, terminal } = await cli(folder, [...sitting, ...resistors, '--calibrations', name]);
      expect(code).toBe(6);
      expect(terminal.errorCode).toBe('calibration.disk');
      expect(terminal.said).not.toContain('taken');
    }
    expect(await readFile(file, 'utf8')).toBe('x');
  });

  test('a set with a slip in it, with its line', async () => {
    const folder = scratch();
    const set = join(folder, 'set.yaml');
    await writeFile(set, 'set: 1\nid: X\nresistors:\n  - { name: R1, is: 470 ohm }\n');
    const { code, terminal } = await cli(folder, [...sitting, '--set', set]);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe('set.invalid');
    expect(terminal.said).toContain('set.yaml:4');
  });
});
