import { fullScaleCode, nominalCalibration } from '../../measure/reading/nominal.ts';
import type { RangeCalibration } from '../../measure/types.ts';
import { rangeTable } from '../../protocol/table.ts';
import type { RangeFit } from './fit-types.ts';

/**
 * Returns whether a range can't show its open level: the converter ends before, so open level and
 * source resistance hardly come apart.
 */
export function needsPrior({ nOpen }: RangeCalibration): boolean {
  return nOpen > fullScaleCode;
}

/**
 * Returns what is known beforehand of such a range (type B, JCGM 100:2008, 4.3): the open level of
 * its parts, and the source resistance from a fitted range that works through the same resistor and
 * switch, or else of its parts too.
 */
export function priorOf(nominal: RangeCalibration, fits: readonly RangeFit[]): RangeCalibration {
  const sourceOf = (range: number): number | undefined => rangeTable.find(({ id }) => id === range)?.sourceOhm;
  const twin = fits.find(
    (fit) =>
      fit.range !== nominal.range && fit.verdict !== 'refused' && sourceOf(fit.range) === sourceOf(nominal.range),
  );
  const [offOff, offOpen, , openOpen, , rsRs] = nominal.cov;
  // what this probe's tips leave over and above the usual comes out as offset (and as source
  // resistance, which the twin has already)
  const uResidueCode = ((nominal.nOpen - nominal.nOff) / nominal.rsOhm) * nominalCalibration.uLeadOhm;
  const varRs = twin === undefined ? rsRs : twin.uRsOhm ** 2;
  const cov: RangeCalibration['cov'] = [offOff + uResidueCode ** 2, offOpen, 0, openOpen, 0, varRs];
  return { ...nominal, rsOhm: twin?.rsOhm ?? nominal.rsOhm, cov };
}
