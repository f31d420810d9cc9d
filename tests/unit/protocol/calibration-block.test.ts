import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type CalibrationBlock,
  calibrationBlockBytes,
  decodeCalibrationBlock,
  encodeCalibrationBlock,
  maxCalibrationEntries,
} from '../../../src/protocol/calibration-block.ts';
import { limitTable } from '../../../src/protocol/table.ts';

const float = fc.float({ noNaN: true, noDefaultInfinity: true });
const entry = fc.record({
  range: fc.integer({ min: 0, max: 255 }),
  level: fc.constantFrom('normal', 'dry', 'voltage'),
  nOff: float,
  nOpen: float,
  rsOhm: float,
  cov: fc.tuple(float, float, float, float, float, float),
});
const anyBlock: fc.Arbitrary<CalibrationBlock> = fc.record({
  probeSerial: fc.integer({ min: 0, max: 2 ** 32 - 1 }),
  dateUnixS: fc.integer({ min: 0, max: 2 ** 32 - 1 }),
  validDays: fc.integer({ min: 0, max: 65_535 }),
  temperatureC: fc.integer({ min: -400, max: 1250 }).map((tenths) => tenths / 10),
  setId: fc.stringMatching(/^[!-~]{0,16}$/),
  entries: fc.array(entry, { maxLength: maxCalibrationEntries }),
});

const block: CalibrationBlock = {
  probeSerial: 4711,
  dateUnixS: 1_790_000_000,
  validDays: 365,
  temperatureC: -3.5,
  setId: 'resistors A',
  entries: [
    { range: 2, level: 'dry', nOff: 327.5, nOpen: 13434.25, rsOhm: 1000.5, cov: [0.25, 0, 0.5, 1, 0, 2] },
    { range: 0, level: 'voltage', nOff: 8192.5, nOpen: 409.5, rsOhm: 0, cov: [1, 0, 0, 1, 0, 0] },
  ],
};

/** The calibration area of a probe: the block, and what an erased memory holds behind it. */
function area(bytes: Uint8Array): Uint8Array {
  const whole = new Uint8Array(limitTable.calibrationBytes).fill(0xff);
  whole.set(bytes);
  return whole;
}

describe('the calibration block', () => {
  test('comes back as it was, whatever stands behind it', () => {
    fc.assert(
      fc.property(anyBlock, (any) => {
        expect(decodeCalibrationBlock(area(encodeCalibrationBlock(any)))).toEqual({ state: 'valid', block: any });
      }),
    );
  });

  test('is laid out as the protocol says', () => {
    const bytes = encodeCalibrationBlock(block);
    const view = new DataView(bytes.buffer);
    expect(Buffer.from(bytes.subarray(0, 6)).toString('latin1')).toBe('OWCB\x01\x02');
    expect(bytes.length).toBe(34 + 38 * 2 + 2);
    expect(view.getUint32(6, true)).toBe(4711);
    expect(view.getInt16(16, true)).toBe(-35);
    expect(Buffer.from(bytes.subarray(18, 34)).toString('latin1')).toBe('resistors A\0\0\0\0\0');
    expect([bytes[34], bytes[35], view.getFloat32(36, true)]).toEqual([2, 1, 327.5]);
  });

  test('an erased memory is blank', () => {
    expect(decodeCalibrationBlock(area(new Uint8Array()))).toEqual({ state: 'blank' });
  });

  test('cut short at any byte it is torn or foreign, never valid', () => {
    const bytes = encodeCalibrationBlock(block);
    for (let n = 1; n < bytes.length; n++) {
      expect(['torn', 'foreign', 'old']).toContain(decodeCalibrationBlock(area(bytes.subarray(0, n))).state);
      expect(decodeCalibrationBlock(bytes.subarray(0, n)).state).not.toBe('valid');
    }
  });

  test('any flipped bit of it is seen', () => {
    const bytes = encodeCalibrationBlock(block);
    for (let bit = 0; bit < 8 * bytes.length; bit++) {
      const spoilt = area(bytes);
      spoilt[bit >> 3]! ^= 1 << (bit & 7);
      expect(decodeCalibrationBlock(spoilt).state).not.toBe('valid');
    }
  });

  test('no bytes make it throw', () => {
    const mark = [0x4f, 0x57, 0x43, 0x42, 1];
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 600 }), fc.boolean(), (bytes, marked) => {
        const input = marked ? Uint8Array.of(...mark, ...bytes) : bytes;
        expect(decodeCalibrationBlock(input).state).toBeTypeOf('string');
      }),
    );
  });

  test('another format is old, other bytes are foreign', () => {
    const newer = encodeCalibrationBlock(block);
    newer[4] = 2;
    expect(decodeCalibrationBlock(area(newer)).state).toBe('old');
    expect(decodeCalibrationBlock(new Uint8Array(512)).state).toBe('foreign');
  });

  test('fits the area when full, and refuses more', () => {
    const entries = Array.from({ length: maxCalibrationEntries }, () => block.entries[0]!);
    expect(encodeCalibrationBlock({ ...block, entries }).length).toBeLessThanOrEqual(limitTable.calibrationBytes);
    expect(calibrationBlockBytes(maxCalibrationEntries + 1)).toBeGreaterThan(limitTable.calibrationBytes);
    expect(() => encodeCalibrationBlock({ ...block, entries: [...entries, block.entries[0]!] })).toThrow(RangeError);
    expect(() => encodeCalibrationBlock({ ...block, setId: 'seventeen letters' })).toThrow(RangeError);
    expect(() => encodeCalibrationBlock({ ...block, validDays: 65_536 })).toThrow(RangeError);
  });
});
