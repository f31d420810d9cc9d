import { type CalibrationAge, calibrationAge, calibrationInUse } from '../../measure/reading/calibration-age.ts';
import { calibrationFromBlock } from '../../measure/reading/calibration-from-block.ts';
import { nominalCalibration } from '../../measure/reading/nominal.ts';
import type { Calibration } from '../../measure/types.ts';
import type { CalibrationBlockState } from '../../protocol/calibration-block.ts';
import type { CalibrationOrigin } from '../../record/entries/calibration-origin.ts';
import { type CalibrationFile, calibrationDigest } from '../../record/store/calibration-file.ts';

const nominalText = 'nominal part values are used, with their tolerances as uncertainty';

/** A block that holds a temperature below this was written without one. */
const absoluteZeroC = -273.15;

/**
 * A calibration in force, how old it is, and in words where it comes from and what is wrong with
 * it.
 */
export interface InForce {
  calibration: Calibration;
  age: CalibrationAge;
  text: string;
  /** What it was made from; null for the nominal one. */
  origin: CalibrationOrigin | null;
}

/** A calibration that may be put in force. */
interface Candidate {
  calibration: Calibration;
  temperatureC: number | null;
  where: string;
  origin: CalibrationOrigin;
}

/**
 * Returns the calibration in force for a probe at a time: of the probe's own and the host's file
 * the one with the later date (the probe's, if they are of one), else the nominal one. `file` is
 * left out where no host's file is looked for.
 */
export function calibrationOf(
  stored: CalibrationBlockState,
  probeSerial: number,
  nowMs: number,
  file?: CalibrationFile,
): InForce {
  const inProbe = probeCandidate(stored, probeSerial);
  const onHost = hostCandidate(file);
  const wrong = [inProbe, onHost].flatMap((one) => (typeof one === 'string' ? [one] : []));
  const usable = [inProbe, onHost].filter((one) => typeof one === 'object' && one !== null);
  const best = usable.reduce<Candidate | null>((a, b) => (a === null || isLater(b, a) ? b : a), null);
  if (best === null) {
    const why = wrong.length === 0 ? 'no calibration in the probe' : wrong.join('; ');
    const age = calibrationAge(nominalCalibration, nowMs);
    return { calibration: nominalCalibration, age, text: `${why}: ${nominalText}`, origin: null };
  }
  const { temperatureC } = best;
  const calibration = calibrationInUse(best.calibration, { nowMs, temperatureC });
  const age = calibrationAge(calibration, nowMs);
  const text = [`calibration ${best.calibration.id} from ${best.where}, ${ageText(age)}`, ...wrong].join('; ');
  return { calibration, age, text, origin: best.origin };
}

/** Returns in words how old a calibration is and whether it holds. */
export function ageText({ state, ageDays, daysLeft }: CalibrationAge): string {
  switch (state) {
    case 'nominal':
      return 'not calibrated';
    case 'undated':
      return 'without a date: its age is not known';
    case 'future':
      return 'dated in the future: its age is not known, look at the clock of this machine';
    case 'expired':
      return `${days(ageDays!)} old, EXPIRED ${days(-daysLeft!)} ago`;
    case 'valid':
      return `${days(ageDays!)} old, ${daysLeft === null ? 'no end stated' : `valid for ${days(daysLeft)} more`}`;
  }
}

function days(count: number): string {
  return count === 1 ? '1 day' : `${count} days`;
}

function isLater(a: Candidate, b: Candidate): boolean {
  return Date.parse(a.calibration.dateIso ?? '') > Date.parse(b.calibration.dateIso ?? '');
}

/** Null: there is none. A text: there is one that is not used, and why. */
function probeCandidate(stored: CalibrationBlockState, probeSerial: number): Candidate | string | null {
  if (stored.state === 'blank') return null;
  if (stored.state !== 'valid') return `calibration in the probe not used (${stored.why})`;
  if (stored.block.probeSerial !== probeSerial) return "calibration in the probe is another probe's";
  const { temperatureC: noted } = stored.block;
  const temperatureC = noted < absoluteZeroC ? null : noted;
  const calibration = calibrationFromBlock(stored.block);
  if (calibration.source === 'nominal') return 'calibration in the probe holds nothing that was measured';
  return { calibration, temperatureC, where: 'the probe', origin: { of: 'block', block: stored.block } };
}

function hostCandidate(file: CalibrationFile | undefined): Candidate | string | null {
  if (file === undefined || file.state === 'none') return null;
  if (file.state === 'unusable') return `the file ${file.path} is not used (${file.why})`;
  const { calibration, temperatureC } = file.content;
  const origin = { of: 'file', sha256: calibrationDigest(file.content) } as const;
  return { calibration: { ...calibration, source: 'file' }, temperatureC, where: file.path, origin };
}
