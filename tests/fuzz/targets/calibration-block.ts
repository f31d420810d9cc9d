import { calibrationFromBlock } from '../../../src/measure/reading/calibration-from-block.ts';
import {
  calibrationBlockBytes,
  decodeCalibrationBlock,
  encodeCalibrationBlock,
  maxCalibrationEntries,
} from '../../../src/protocol/calibration-block.ts';
import { crc16 } from '../../../src/protocol/crc16.ts';
import { limitTable } from '../../../src/protocol/table.ts';
import type { FuzzTarget } from '../target.ts';

const sound = encodeCalibrationBlock({
  probeSerial: 4711,
  dateUnixS: 1_790_000_000,
  validDays: 365,
  temperatureC: -3.5,
  setId: 'resistors A',
  entries: [
    { range: 2, level: 'dry', nOff: 327.5, nOpen: 13_434.25, rsOhm: 1000.5, cov: [0.25, 0, 0.5, 1, 0, 2] },
    { range: 0, level: 'voltage', nOff: 8192.5, nOpen: 409.5, rsOhm: 0, cov: [1, 0, 0, 1, 0, 0] },
  ],
});

/** What stands in a probe's memory for a calibration, up to the calibration that a session takes from it. */
export const calibrationBlock: FuzzTarget = {
  name: 'calibration-block',
  executions: 1_000_000,
  mostBytes: limitTable.calibrationBytes,
  mostSteps: { base: 5_000, aByte: 40 },
  words: ['OWCB', '\u0001', '\u0000\u0000\u0080\u007f', '\u0000\u0000\u00c0\u007f', '\u00ff\u00ff\u007f\u007f'],
  seeds: () => [sound, new Uint8Array(64).fill(0xff), new Uint8Array(0)],
  seal(bytes) {
    const length = calibrationBlockBytes(Math.min(bytes[5] ?? 0, maxCalibrationEntries));
    if (bytes.length < length) return bytes;
    const sealed = bytes.slice();
    new DataView(sealed.buffer).setUint16(length - 2, crc16(sealed, 0, length - 2), false);
    return sealed;
  },
  run(bytes) {
    const held = decodeCalibrationBlock(bytes);
    return held.state === 'valid' ? { held, calibration: calibrationFromBlock(held.block) } : held;
  },
};
