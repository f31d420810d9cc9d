import { describe, expect, test } from 'vitest';
import { calibrationFromBlock } from '../../../src/measure/reading/calibration-from-block.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { CalibrationBlock, CalibrationEntry } from '../../../src/protocol/calibration-block.ts';

const measured: CalibrationEntry = {
  range: 2,
  level: 'normal',
  nOff: 330,
  nOpen: 13_400,
  rsOhm: 1001.5,
  cov: [0.5, 0.1, 0, 0.9, 0, 0.04],
};
const volts: CalibrationEntry = {
  range: 0,
  level: 'voltage',
  nOff: 8190,
  nOpen: 409,
  rsOhm: 0,
  cov: [4, 0, 0, 0.1673, 0, 0],
};

function block(entries: CalibrationEntry[], part: Partial<CalibrationBlock> = {}): CalibrationBlock {
  return {
    probeSerial: 77,
    dateUnixS: 1_764_028_800,
    validDays: 365,
    temperatureC: 22.5,
    setId: 'decade-3',
    entries,
    ...part,
  };
}

describe('the calibration that a probe carries', () => {
  test('stands for its ranges, the nominal one for the rest', () => {
    const calibration = calibrationFromBlock(block([measured, volts]));
    expect(calibration).toMatchObject({
      source: 'probe',
      probeSerial: 77,
      dateIso: '2025-11-25T00:00:00.000Z',
      validDays: 365,
    });
    expect(calibration.ranges).toHaveLength(nominalCalibration.ranges.length);
    expect(calibration.ranges.find(({ range, level }) => range === 2 && level === 'normal')).toEqual(measured);
    expect(calibration.voltage.nZero).toBe(8190);
    expect(calibration.voltage.uZero).toBe(2);
    expect(calibration.voltage.uCodesPerVoltRel).toBeCloseTo(0.001, 6);
  });

  test('with no end stated has none', () => {
    expect(calibrationFromBlock(block([], { validDays: 0 })).validDays).toBeNull();
  });

  test.each<[string, Partial<CalibrationEntry>]>([
    ['NaN', { nOff: Number.NaN }],
    ['an open code below the zero', { nOpen: 100 }],
    ['no source resistor', { rsOhm: 0 }],
    ['a variance below zero', { cov: [-1, 0, 0, 1, 0, 1] }],
  ])('an entry with %s stays nominal', (_, wrong) => {
    const { ranges } = calibrationFromBlock(block([{ ...measured, ...wrong }]));
    expect(ranges).toEqual(nominalCalibration.ranges);
  });
});
