import { describe, expect, test } from 'vitest';
import { budgetLines } from '../../../src/measure/reading/budget-lines.ts';
import { codeOfOhm, ohmOfCode, rangeCalibration } from '../../../src/measure/reading/calibration.ts';
import { calibrationAge, calibrationEnd, calibrationInUse } from '../../../src/measure/reading/calibration-age.ts';
import { usualRange } from '../../../src/measure/reading/expected-uncertainty.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { Calibration, CaptureWindow } from '../../../src/measure/types.ts';

const dayMs = 86_400_000;
const madeMs = Date.UTC(2026, 0, 1);
const dated: Calibration = {
  ...nominalCalibration,
  id: 'dated',
  source: 'file',
  probeSerial: 1,
  dateIso: new Date(madeMs).toISOString(),
  validDays: 365,
};
const inUse = calibrationInUse(dated, { nowMs: madeMs, temperatureC: 23 });
const entry = rangeCalibration(nominalCalibration, 2, 'normal')!;

function windowOf(ohm: number): CaptureWindow {
  const code = Math.round(codeOfOhm(ohm + nominalCalibration.leadOhm, entry));
  const codes = Array.from({ length: 27 }, (_, i) => code + (i % 3) - 1);
  return { tUs: 0, periodUs: 884, range: 2, level: 'normal', flagBits: 0, codes };
}

const partOf = (calibration: Calibration, name: string, ohm = 470): number =>
  readWindow(windowOf(ohm), calibration).parts.find((part) => part.name === name)?.u ?? 0;

describe('the parts of a budget', () => {
  test('add up to the combined uncertainty', () => {
    const { u, parts } = readWindow(windowOf(470), inUse);
    expect(Math.hypot(...parts.map((part) => part.u))).toBeCloseTo(u, 12);
    expect(parts.map(({ name }) => name)).toContain('temperature');
  });

  test('what the reference set has in common is told apart and counted once', () => {
    const ranges = nominalCalibration.ranges.map((one) => ({ ...one, uCommonRel: 0.002 }));
    const apart = readWindow(windowOf(470), { ...nominalCalibration, ranges });
    const together = readWindow(windowOf(470), nominalCalibration);
    expect(apart.u).toBeCloseTo(together.u, 12);
    const reference = apart.parts.find(({ name }) => name === 'reference set')!.u;
    expect(reference / 470).toBeCloseTo(0.002, 5);
    const rest = apart.parts.find(({ name }) => name === 'calibration')!.u;
    expect(Math.hypot(reference, rest)).toBeCloseTo(together.parts.find(({ name }) => name === 'calibration')!.u, 10);
  });

  test.each([47, 470, 4700])(
    'temperature is what the measuring equation does at %d ohm when the parts change',
    (ohm) => {
      const { drift } = inUse;
      const { mean } = { mean: Math.round(codeOfOhm(ohm + nominalCalibration.leadOhm, entry)) };
      const by = (changed: typeof entry) => ohmOfCode(mean, changed) - ohmOfCode(mean, entry);
      const span = entry.nOpen - entry.nOff;
      const source = by({ ...entry, rsOhm: entry.rsOhm * (1 + drift!.sourcePerK) });
      const open = by({ ...entry, nOpen: entry.nOpen + span * drift!.spanPerK });
      const expected = Math.hypot(source, open) * (10 / Math.sqrt(3));
      expect(partOf(inUse, 'temperature', ohm) / expected).toBeCloseTo(1, 2);
    },
  );

  test('ageing is a share of the resistance, for as many periods as have begun', () => {
    const old = calibrationInUse(dated, { nowMs: madeMs + 800 * dayMs, temperatureC: 23 });
    expect(partOf(old, 'ageing') / partOf(inUse, 'ageing')).toBeCloseTo(3, 6);
    expect(old.drift!.periods).toBe(3);
  });

  test('a known temperature leaves less of it', () => {
    const known = calibrationInUse(dated, { nowMs: madeMs, temperatureC: 23, withinK: 2 });
    expect(partOf(inUse, 'temperature') / partOf(known, 'temperature')).toBeCloseTo(5, 6);
  });

  test('an unmeasured probe has neither: its tolerances hold them', () => {
    expect(calibrationInUse(nominalCalibration, { nowMs: madeMs, temperatureC: null })).toBe(nominalCalibration);
    expect(partOf(nominalCalibration, 'ageing')).toBe(0);
  });

  test('are told largest first, with the expanded uncertainty last', () => {
    const lines = budgetLines(readWindow(windowOf(470), inUse));
    expect(lines[1]).toContain('calibration');
    expect(lines.at(-1)).toMatch(/expanded \(95 %\) .*k 1\.96/);
    expect(lines).toHaveLength(readWindow(windowOf(470), inUse).parts.length + 3);
  });
});

describe('the age of a calibration', () => {
  test('counts whole days to the end of its validity', () => {
    expect(calibrationAge(dated, madeMs + 365 * dayMs)).toEqual({ state: 'valid', ageDays: 365, daysLeft: 0 });
    expect(calibrationAge(dated, madeMs + 366 * dayMs)).toEqual({ state: 'expired', ageDays: 366, daysLeft: -1 });
    expect(calibrationEnd(dated)).toBe('2027-01-01');
  });

  test('without a date or an end is told as such', () => {
    expect(calibrationAge({ ...dated, dateIso: null }, madeMs).state).toBe('undated');
    expect(calibrationAge({ ...dated, dateIso: 'soon' }, madeMs).state).toBe('undated');
    expect(calibrationAge({ ...dated, validDays: null }, madeMs + 9000 * dayMs).state).toBe('valid');
    expect(calibrationEnd({ ...dated, validDays: null })).toBeNull();
    expect(calibrationAge(nominalCalibration, madeMs).state).toBe('nominal');
  });
});

// firmware-protocol/protocol.md, 7: where the automatic choice leaves a range downwards
test.each([
  [0.005, 0],
  [0.5, 0],
  [1.5, 1],
  [50, 1],
  [200, 2],
  [2000, 2],
  [5000, 3],
  [50e3, 3],
  [200e3, 4],
  [5e6, 4],
])('a fresh touch on %d ohm comes to rest on range %d', (ohm, range) => {
  expect(usualRange(ohm, nominalCalibration)?.range).toBe(range);
});
