import { describe, expect, test } from 'vitest';
import { proofBounds } from '../../../src/measure/judge/proof-bounds.ts';
import { calibrationRemark } from '../../../src/measure/reading/calibration-remark.ts';
import { expectedUncertainty } from '../../../src/measure/reading/expected-uncertainty.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { Calibration, CaptureWindow } from '../../../src/measure/types.ts';
import type { CalibrationBlock, CalibrationBlockState } from '../../../src/protocol/calibration-block.ts';
import type { CalibrationFile } from '../../../src/record/store/calibration-file.ts';
import { calibrationOf } from '../../../src/session/engine/calibration-in-force.ts';

const dayMs = 86_400_000;
const madeMs = Date.UTC(2026, 0, 1);
/** Every range as good as a calibration with 0.1 % resistors makes it. */
const cov: [number, number, number, number, number, number] = [4, 0, 0, 9, 0, 0];
const good = nominalCalibration.ranges.map((entry) => ({
  ...entry,
  cov: [4, 0, 0, 9, 0, (entry.rsOhm * 0.001) ** 2] as typeof cov,
}));

function block(part: Partial<CalibrationBlock> = {}): CalibrationBlockState {
  return {
    state: 'valid',
    block: {
      probeSerial: 77,
      dateUnixS: madeMs / 1000,
      validDays: 365,
      temperatureC: 23,
      setId: 'SET',
      entries: good,
      ...part,
    },
  };
}

function file(ms: number, part: Partial<Calibration> = {}): CalibrationFile {
  const calibration: Calibration = {
    ...nominalCalibration,
    id: 'of the host',
    source: 'file',
    probeSerial: 77,
    dateIso: new Date(ms).toISOString(),
    validDays: 365,
    ranges: good,
    ...part,
  };
  return {
    state: 'held',
    path: 'F',
    content: { format: 1, calibration, temperatureC: null, evidence: null, tool: 'test' },
  };
}

const blank: CalibrationBlockState = { state: 'blank' };

describe('the calibration in force', () => {
  test("is the probe's, when there is no other", () => {
    const { calibration, age } = calibrationOf(block(), 77, madeMs + 10 * dayMs, { state: 'none', path: 'F' });
    expect(calibration).toMatchObject({ source: 'probe', drift: { periods: 1, temperatureC: 23 } });
    expect(age).toEqual({ state: 'valid', ageDays: 10, daysLeft: 355 });
  });

  test("is the later of the probe's and the host's", () => {
    const now = madeMs + 100 * dayMs;
    expect(calibrationOf(block(), 77, now, file(madeMs + dayMs)).calibration.source).toBe('file');
    expect(calibrationOf(block(), 77, now, file(madeMs - dayMs)).calibration.source).toBe('probe');
    expect(calibrationOf(block(), 77, now, file(madeMs)).calibration.source).toBe('probe');
    expect(calibrationOf(blank, 77, now, file(madeMs)).calibration.source).toBe('file');
  });

  test.each<[string, CalibrationBlockState, CalibrationFile]>([
    ['none', blank, { state: 'none', path: 'F' }],
    ['torn', { state: 'torn', why: 'torn' }, { state: 'none', path: 'F' }],
    ["another probe's", block({ probeSerial: 78 }), { state: 'none', path: 'F' }],
    ['a changed file', blank, { state: 'unusable', path: 'F', why: 'its digest does not match its contents' }],
  ])('%s leaves nominal values, and says why', (_, stored, held) => {
    const { calibration, text } = calibrationOf(stored, 77, madeMs, held);
    expect(calibration).toBe(nominalCalibration);
    expect(text.length).toBeGreaterThan(40);
    if (held.state === 'unusable') expect(text).toContain(held.why);
  });

  test('that is torn in the probe is passed over for the file, and told', () => {
    const why = 'check value';
    const { calibration, text } = calibrationOf({ state: 'torn', why }, 77, madeMs, file(madeMs));
    expect(calibration.source).toBe('file');
    expect(text).toContain(why);
  });

  test('is one on each day of its validity, and another after it', () => {
    const at = (days: number) => calibrationOf(block(), 77, madeMs + days * dayMs).calibration;
    expect(at(0)).toEqual(at(364));
    expect(at(366).id).not.toBe(at(364).id);
    expect(at(366).drift!.ageingRel).toBeGreaterThan(1.9 * at(364).drift!.ageingRel);
    expect(at(366).drift!.periods).toBe(2);
  });

  test('with a date to come has no known age', () => {
    const { calibration, age } = calibrationOf(block(), 77, madeMs - 30 * dayMs);
    expect(age.state).toBe('future');
    expect(calibration.drift!.periods).toBeNull();
  });

  test('written without a temperature has none', () => {
    expect(calibrationOf(block({ temperatureC: -300 }), 77, madeMs).calibration.drift!.temperatureC).toBeNull();
  });
});

describe('what is said of a reading', () => {
  const window: CaptureWindow = {
    tUs: 0,
    periodUs: 884,
    range: 2,
    level: 'normal',
    flagBits: 0,
    codes: Array.from({ length: 27 }, (_, i) => 6000 + (i % 3)),
  };
  const remark = (calibration: Calibration) => calibrationRemark(calibration, readWindow(window, calibration));

  test('is nothing while the calibration holds', () => {
    expect(remark(calibrationOf(block(), 77, madeMs).calibration)).toBeNull();
  });

  test('is that there is none, with what it costs', () => {
    const cost = /U (\S+) ohm, would be (\S+) ohm/.exec(remark(nominalCalibration)!)!;
    expect(Number(cost[1])).toBeGreaterThan(2 * Number(cost[2]));
  });

  test('is that it has expired, with what it costs', () => {
    const expired = calibrationOf(block(), 77, madeMs + 1500 * dayMs).calibration;
    const cost = /expired: U (\S+) ohm, would be (\S+) ohm/.exec(remark(expired)!)!;
    expect(Number(cost[1])).toBeGreaterThan(Number(cost[2]));
  });
});

describe('bounds of the proofs', () => {
  const check = { ohm: 99.8, uOhm: 0.01 };
  const calibrated = { ...calibrationOf(block(), 77, madeMs).calibration, check };

  test('without a calibration are wide', () => {
    expect(proofBounds('shorted-tips', nominalCalibration)).toEqual({ min: -0.15, max: 0.15 });
    expect(proofBounds('check-resistor', nominalCalibration)).toEqual({ min: 95, max: 105 });
  });

  test('with one lie within its uncertainty about what it read of the resistor', () => {
    const { min, max } = proofBounds('check-resistor', calibrated);
    expect((min + max) / 2).toBeCloseTo(99.8, 9);
    expect((max - min) / 2 / expectedUncertainty(99.8, calibrated)).toBeCloseTo(5, 1);
    expect(max - min).toBeLessThan(5);
    const shorted = proofBounds('shorted-tips', calibrated);
    expect(shorted.max).toBeLessThan(0.02);
    expect(shorted.min).toBe(-shorted.max);
  });

  test('with one that does not know the resistor are those of its tolerance', () => {
    const { check: _, ...without } = calibrated;
    expect(proofBounds('check-resistor', without)).toEqual({ min: 95, max: 105 });
  });
});
