import { calibrationFromBlock } from '../measure/calibration-from-block.ts';
import { nominalCalibration } from '../measure/nominal.ts';
import type { Calibration } from '../measure/types.ts';
import type { CalibrationBlockState } from '../protocol/calibration-block.ts';

const nominalText = 'nominal part values are used, with their tolerances as uncertainty';

/** Returns the calibration in force for a probe, and one sentence on where it comes from and what is wrong with it. */
export function calibrationOf(
  stored: CalibrationBlockState,
  probeSerial: number,
): { calibration: Calibration; text: string } {
  if (stored.state === 'blank')
    return { calibration: nominalCalibration, text: `no calibration in the probe: ${nominalText}` };
  if (stored.state !== 'valid') {
    return {
      calibration: nominalCalibration,
      text: `calibration in the probe not used (${stored.why}): ${nominalText}`,
    };
  }
  if (stored.block.probeSerial !== probeSerial) {
    return { calibration: nominalCalibration, text: `calibration in the probe is another probe's: ${nominalText}` };
  }
  const calibration = calibrationFromBlock(stored.block);
  return { calibration, text: `calibration ${calibration.id} from the probe` };
}
