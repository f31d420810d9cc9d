import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import {
  liveReading,
  liveValues,
  noReadings,
  tipContact,
  traceUs,
  withBatch,
  withoutTrace,
} from '../../../src/session/engine/recent-readings.ts';
import { batchAt, seated, volts } from '../../support/batches.ts';

const stream = (ohm: number, count: number, fromUs = 0, bits = seated) => {
  let live = noReadings();
  for (let i = 0; i < count; i++) live = withBatch(live, batchAt(ohm, fromUs + i * 8 * 884, bits), nominalCalibration);
  return live;
};

describe('the last readings', () => {
  test('give the reading at the tips, with its uncertainty', () => {
    const reading = liveReading(stream(47, 20));
    expect(reading?.state).toBe('in-range');
    expect(Math.abs((reading?.value ?? 0) - 47)).toBeLessThan(3 * (reading?.u ?? 0));
  });

  test('are not mixed with those of another range or of another state of the tips', () => {
    let live = stream(0.2, 20);
    live = withBatch(live, batchAt(47_000, live.tUs), nominalCalibration);
    expect(liveReading(live)?.value).toBeGreaterThan(40_000);
  });

  test('give nothing before the first, without a calibration, and while the source is off', () => {
    expect(liveReading(noReadings())).toBeNull();
    expect(liveReading(withBatch(noReadings(), batchAt(1, 0), null))).toBeNull();
    expect(liveReading(stream(1, 3, 0, flagBits.seatA | flagBits.seatB))).toBeNull();
  });

  test('are volts in voltage mode', () => {
    const live = withBatch(noReadings(), volts(1.8, 0), nominalCalibration);
    expect(liveReading(live)).toMatchObject({ quantity: 'voltage' });
    expect(liveValues(live, 'voltage', true)[0]?.value).toBeCloseTo(1.8, 1);
    expect(liveValues(live, 'resistance', true)[0]?.value).toBeNull();
  });

  test('are counted on, with what the probe had to drop', () => {
    const live = withBatch(stream(1, 4), { ...batchAt(1, 4 * 8 * 884), lost: 3 }, nominalCalibration);
    expect(live).toMatchObject({ readings: 40, lost: 3 });
  });
});

describe('the trace', () => {
  test('never holds more than its length, however long the stream', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 900 }), (count) => {
        const live = stream(1, count);
        const [first] = live.batches;
        expect(live.tUs - (first?.tUs ?? 0)).toBeLessThanOrEqual(traceUs);
        expect(live.batches.length).toBeLessThanOrEqual(Math.ceil(traceUs / (8 * 884)));
      }),
      { numRuns: 30 },
    );
  });

  test('begins anew when the probe does, or when the link goes', () => {
    const live = stream(1, 100, 5_000_000);
    expect(withBatch(live, batchAt(1, 0), nominalCalibration).batches).toHaveLength(1);
    expect(withoutTrace(live)).toMatchObject({ batches: [], readings: 800 });
  });

  test('shows an open as infinite, and tips in the air as nothing', () => {
    const inAir = flagBits.excitation | flagBits.auto;
    expect(liveValues(stream(2e7, 1), 'resistance', true)[0]?.value).toBe(Number.POSITIVE_INFINITY);
    expect(liveValues(stream(2e7, 1, 0, inAir), 'resistance', true)[0]?.value).toBeNull();
    expect(liveValues(stream(2e7, 1, 0, inAir), 'resistance', false)[0]?.value).toBe(Number.POSITIVE_INFINITY);
  });
});

test('a voltage is no trouble where volts are wanted', () => {
  const batch = volts(1.8, 0);
  const live = withBatch(noReadings(), { ...batch, flags: { ...batch.flags, live: true } }, nominalCalibration);
  expect(tipContact(live, true, 'voltage')).toBe('closed');
  expect(tipContact(live, true, 'resistance')).toBe('live');
});

test.each([
  ['closed', 5, seated, true],
  ['open', 2e7, seated, true],
  ['air', 2e7, flagBits.excitation, true],
  ['a-only', 2e7, flagBits.excitation | flagBits.seatA, true],
  ['b-only', 2e7, flagBits.excitation | flagBits.seatB, true],
  ['open', 2e7, flagBits.excitation, false],
  ['live', 5, seated | flagBits.live, true],
  ['none', 5, flagBits.inputHigh | seated, true],
] as const)('tells %s from readings at %d ohm', (contact, ohm, bits, feelsTips) => {
  expect(tipContact(stream(ohm, 2, 0, bits), feelsTips, 'resistance')).toBe(contact);
});
