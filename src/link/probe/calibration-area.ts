import { type CalibrationBlockState, decodeCalibrationBlock } from '../../protocol/calibration-block.ts';
import { limitTable } from '../../protocol/table.ts';
import type { ProbeLink } from './probe-link.ts';

const { calibrationBytes, dataMaxBytes } = limitTable;

/** Reads a probe's calibration area and returns what it holds. @throws as the link's `request` */
export async function readCalibration(link: ProbeLink): Promise<CalibrationBlockState> {
  const bytes = new Uint8Array(calibrationBytes);
  for (let offset = 0; offset < bytes.length; offset += dataMaxBytes) {
    const { data } = await link.request({ type: 'calRead', offset, count: dataMaxBytes });
    bytes.set(data.subarray(0, dataMaxBytes), offset);
    if (offset === 0 && data.every((byte) => byte === 0xff)) return { state: 'blank' };
  }
  return decodeCalibrationBlock(bytes);
}

/**
 * Writes the bytes of a calibration block in order; the probe reads each part back. @throws as the
 * link's `request`
 */
export async function writeCalibration(link: ProbeLink, block: Uint8Array): Promise<void> {
  for (let offset = 0; offset < block.length; offset += dataMaxBytes) {
    await link.request({ type: 'calWrite', offset, data: block.slice(offset, offset + dataMaxBytes) });
  }
}
