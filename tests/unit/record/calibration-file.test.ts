import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { Calibration } from '../../../src/measure/types.ts';
import {
  type CalibrationContent,
  calibrationPath,
  calibrationText,
  parseCalibrationText,
  readCalibrationFile,
  writeCalibrationFile,
} from '../../../src/record/store/calibration-file.ts';
import { MemoryDisk } from '../../support/memory-disk.ts';

const folder = '/calibrations';
type Content = CalibrationContent & { calibration: Calibration & { probeSerial: number } };

const content = (dateIso: string): Content => ({
  format: 1,
  calibration: {
    ...nominalCalibration,
    id: `probe 77 ${dateIso} SET`,
    source: 'file',
    probeSerial: 77,
    dateIso,
    validDays: 365,
    ranges: nominalCalibration.ranges.map((entry) => ({ ...entry, uCommonRel: 1e-4 })),
    check: { ohm: 100.02, uOhm: 0.01 },
  },
  temperatureC: 23.5,
  evidence: { points: [{ range: 1, code: 3000.25 }] },
  tool: 'test',
});
const first = content('2026-01-01T00:00:00.000Z');
const second = content('2026-02-01T00:00:00.000Z');

describe('the file of a calibration', () => {
  test('holds what was put into it', async () => {
    const disk = new MemoryDisk();
    await writeCalibrationFile(folder, first, disk);
    expect(await readCalibrationFile(folder, 77, disk)).toEqual({
      state: 'held',
      path: calibrationPath(folder, 77),
      content: first,
    });
  });

  test('there is none', async () => {
    expect(await readCalibrationFile(folder, 77, new MemoryDisk())).toMatchObject({ state: 'none' });
  });

  test('with any number changed is not used', () => {
    const text = calibrationText(first);
    expect(parseCalibrationText(text)).toMatchObject({ ok: true });
    const changed = text.replace('100.02', '100.03');
    expect(changed).not.toBe(text);
    expect(parseCalibrationText(changed)).toEqual({ ok: false, why: 'its digest does not match its contents' });
  });

  test('may be laid out anew: the digest is over canonical JSON', () => {
    const data: unknown = JSON.parse(calibrationText(first));
    const turned = Object.fromEntries(Object.entries(data as object).reverse());
    expect(parseCalibrationText(JSON.stringify(turned))).toMatchObject({ ok: true });
  });

  test.each([
    ['nothing', ''],
    ['no JSON', 'calibration'],
    ['another thing', '{"a": 1}'],
    ['a part of one', calibrationText(first).slice(0, 900)],
    ['a field too many', calibrationText(first).replace('"tool"', '"more": 1, "tool"')],
  ])('of %s says why it is not used', (_, text) => {
    const parsed = parseCalibrationText(text);
    expect(parsed.ok).toBe(false);
    expect(parsed.ok ? '' : parsed.why).not.toBe('');
  });

  test("of another probe is not this one's", async () => {
    const disk = new MemoryDisk();
    await writeCalibrationFile(folder, first, disk);
    disk.files.set(calibrationPath(folder, 78), disk.files.get(calibrationPath(folder, 77))!);
    expect(await readCalibrationFile(folder, 78, disk)).toMatchObject({ state: 'unusable' });
  });

  test('keeps the one before it under its date', async () => {
    const disk = new MemoryDisk();
    await writeCalibrationFile(folder, first, disk);
    const { keptPath } = await writeCalibrationFile(folder, second, disk);
    expect(parseCalibrationText(disk.files.get(keptPath!)!.toString())).toEqual({ ok: true, content: first });
    // the same date twice takes another name
    const again = await writeCalibrationFile(folder, second, disk);
    const third = await writeCalibrationFile(folder, second, disk);
    expect(new Set([keptPath, again.keptPath, third.keptPath]).size).toBe(3);
    expect(await readCalibrationFile(folder, 77, disk)).toMatchObject({ content: second });
  });

  test.each([
    ['a full disk', { takes: 100, errno: 'ENOSPC' }],
    ['a write that is cut short', { takes: 100 }],
  ])('stands as it was after %s', async (_, fault) => {
    const disk = new MemoryDisk();
    await writeCalibrationFile(folder, first, disk);
    disk.fault = ({ name }) => (name === 'write' ? fault : null);
    await expect(writeCalibrationFile(folder, second, disk)).rejects.toThrow();
    disk.fault = () => null;
    expect(await readCalibrationFile(folder, 77, disk)).toMatchObject({ content: first });
    // what was left of it is no hindrance
    await writeCalibrationFile(folder, second, disk);
    expect(await readCalibrationFile(folder, 77, disk)).toMatchObject({ content: second });
  });
});
