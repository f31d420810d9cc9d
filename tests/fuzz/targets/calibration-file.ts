import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { calibrationText, parseCalibrationText } from '../../../src/record/store/calibration-file.ts';
import type { FuzzTarget } from '../target.ts';
import { bytesOf, jsonChanged, textOf } from './text.ts';

/** A calibration as it stands in its file. */
export const calibrationFile: FuzzTarget = {
  name: 'calibration-file',
  executions: 200_000,
  mostBytes: 8_000,
  mostSteps: { base: 2_000, aByte: 20 },
  words: ['"format": 1', '"calibration": {', 'null', '__proto__', '1e400'],
  seeds: () => {
    const calibration = { ...nominalCalibration, source: 'file', probeSerial: 7, dateIso: '2031-05-17T08:00:00.000Z' };
    const content = { format: 1, calibration, temperatureC: 21, evidence: null, tool: 'ohmwright 0.0.0' };
    return [bytesOf(calibrationText(content as never))];
  },
  restructure: jsonChanged,
  seal(bytes) {
    try {
      const { sha256: _, ...content } = JSON.parse(textOf(bytes));
      return bytesOf(calibrationText(content));
    } catch {
      return bytes;
    }
  },
  run: (bytes) => parseCalibrationText(textOf(bytes)),
};
