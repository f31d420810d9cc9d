import { clipMargin, codeOfOhm } from '../../measure/reading/calibration.ts';
import { fullScaleCode, nominalCalibration } from '../../measure/reading/nominal.ts';
import type { CalibrationLevel } from '../../protocol/calibration-block.ts';
import type { Standard } from '../points/cal-point.ts';

/** A standard that is presented at the tips, with what it is called. */
export interface PresentedStandard {
  id: string;
  label: string;
  standard: Standard;
}

/**
 * One setting of the probe that a standard is read at; on the voltage channel the range has no
 * meaning.
 */
export interface Combination {
  range: number;
  level: CalibrationLevel;
}

/** A resistor tells something of a range while it takes this share of its open level. */
const leastShare = 0.004;
const mostShare = 0.85;
/** The zero of the voltage channel is read with the tips held together. */
const voltageZero: Combination = { range: 0, level: 'voltage' };

/**
 * Returns the settings at which a standard tells something, in the order in which they are read in
 * one touch.
 */
export function combinationsFor(standard: Standard): Combination[] {
  const all = nominalCalibration.ranges;
  switch (standard.kind) {
    case 'short':
      return [...all.map(({ range, level }) => ({ range, level })), voltageZero];
    case 'open':
      return all.filter((entry) => isReadable(entry.nOpen)).map(({ range, level }) => ({ range, level }));
    case 'resistor':
      return all
        .filter((entry) => {
          const share = standard.ohm / (standard.ohm + entry.rsOhm);
          const inReach = share <= mostShare && isReadable(codeOfOhm(standard.ohm, entry));
          return inReach && (codeOfOhm(standard.ohm, entry) - entry.nOff) / fullScaleCode >= leastShare;
        })
        .map(({ range, level }) => ({ range, level }));
    case 'volt':
      return [voltageZero];
  }
}

/** The two standards that every calibration session has. */
export const endStandards: readonly PresentedStandard[] = [
  { id: 'short', label: 'the tips held together', standard: { kind: 'short' } },
  { id: 'open', label: 'the tips in the air', standard: { kind: 'open' } },
];

function isReadable(code: number): boolean {
  return code < fullScaleCode - clipMargin;
}
