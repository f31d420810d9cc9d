import type { Calibration } from '../../measure/types.ts';
import { canonicalJson } from '../../record/chain/canonical.ts';
import type { Say } from '../finding.ts';

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
      say('calibration.nominal', 'it is called nominal and does not have the nominal numbers');
    return;
  }
  if (isNominal) say('calibration.relabelled', `${id} has the nominal numbers: no calibration was made`);
  if (id === nominal.id) say('calibration.relabelled', 'it has the name of the nominal one');
  if (whose !== probeSerial) say('calibration.probe', `${id} is of another probe than the one that was connected`);
}

function numbersOf({ ranges, voltage }: Calibration) {
  return { ranges, voltage };
}
