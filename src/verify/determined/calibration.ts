import { calibrationInUse, usualValidDays } from '../../measure/reading/calibration-age.ts';
import { calibrationFromBlock } from '../../measure/reading/calibration-from-block.ts';
import type { Calibration } from '../../measure/types.ts';
import { canonicalJson } from '../../record/chain/canonical.ts';
import type { EntryOf } from '../../record/entries/entries.ts';
import { type CalibrationContent, calibrationDigest } from '../../record/store/calibration-file.ts';
import type { Say } from '../finding.ts';

/** A block that holds a temperature below this was written without one. */
const absoluteZeroC = -273.15;
const dayMs = 86_400_000;
/** A date so far ahead is one in the future: then the age is not known. */
const unknownAgeDays = 2;

/**
 * Tells where a calibration claims an origin that its numbers deny: a nominal one has the nominal
 * numbers and nothing else, and nominal numbers are no calibration, whatever it is called.
 * `nominal`: that of the record's rules.
 */
export function verifyCalibration(calibration: Calibration, nominal: Calibration, probeSerial: number, say: Say): void {
  const { source, probeSerial: whose, id } = calibration;
  const isNominal = canonicalJson(numbersOf(calibration)) === canonicalJson(numbersOf(nominal));
  if (source === 'nominal') {
    if (canonicalJson(calibration) !== canonicalJson(nominal))
      say('calibration.nominal', 'it is called nominal and does not have the nominal numbers', {
        stands: calibration,
        due: nominal,
      });
    return;
  }
  if (isNominal) say('calibration.relabelled', `${id} has the nominal numbers: no calibration was made`);
  if (id === nominal.id) say('calibration.relabelled', 'it has the name of the nominal one');
  if (whose !== probeSerial) say('calibration.probe', `${id} is of another probe than the one that was connected`);
}

function numbersOf({ ranges, voltage }: Calibration) {
  return { ranges, voltage };
}

/**
 * Tells where a calibration is not the one that its origin gives: the probe's block, which stands
 * beside it, or the host's file, of which the digest does. `files`: those that are at hand. How many
 * periods old it is rests on the host's clock, and is taken from the entry.
 */
export function verifyOrigin(entry: EntryOf<'probe'>, files: readonly CalibrationContent[], say: Say): void {
  const { calibration, origin } = entry;
  const { source, id } = calibration;
  if (source === 'nominal' ? origin !== undefined : origin?.of !== (source === 'probe' ? 'block' : 'file')) {
    say('calibration.origin', `${id} is not bound to what it was made from`);
    return;
  }
  const made = origin === undefined ? null : madeOf(origin, files);
  if (made === null) return;
  const due = inUse(made.calibration, made.temperatureC, calibration.drift?.periods ?? null);
  if (canonicalJson(calibration) !== canonicalJson(due))
    say('calibration.origin', `${id} is not what ${origin!.of === 'block' ? "the probe's block" : 'the file'} gives`, {
      stands: calibration,
      due,
    });
}

/** The calibration that an origin gives; null: its file is not at hand. */
function madeOf(
  origin: NonNullable<EntryOf<'probe'>['origin']>,
  files: readonly CalibrationContent[],
): { calibration: Calibration; temperatureC: number | null } | null {
  if (origin.of === 'block') {
    const { temperatureC } = origin.block;
    return {
      calibration: calibrationFromBlock(origin.block),
      temperatureC: temperatureC < absoluteZeroC ? null : temperatureC,
    };
  }
  const file = files.find((one) => calibrationDigest(one) === origin.sha256);
  return file === undefined
    ? null
    : { calibration: { ...file.calibration, source: 'file' }, temperatureC: file.temperatureC };
}

/** A calibration in force when so many periods of its validity had begun; null: its age was not known. */
function inUse(made: Calibration, temperatureC: number | null, periods: number | null): Calibration {
  const madeMs = Date.parse(made.dateIso ?? '');
  const validDays = made.validDays ?? usualValidDays;
  const ageDays = periods === null ? -unknownAgeDays : periods === 1 ? 0 : (periods - 1) * validDays + 1;
  return calibrationInUse(made, { nowMs: madeMs + ageDays * dayMs, temperatureC });
}
