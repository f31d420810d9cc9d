import { frontEndTable, rangeTable } from '../../protocol/table.ts';
import type { Calibration, Level, RangeCalibration, VoltageCalibration } from '../types.ts';

/** Codes per volt at the converter: full scale of a reading over the reference. */
const codesPerConverterVolt = (frontEndTable.converterCodes * frontEndTable.sumOf) / frontEndTable.referenceVolt;

/** Largest code of a reading: every conversion at the converter's end. */
export const fullScaleCode = (frontEndTable.converterCodes - 1) * frontEndTable.sumOf;

// What an unmeasured probe of this design may be off by (standard uncertainties). Wide on purpose:
// a probe that has been calibrated carries its own, narrower numbers.
/**
 * Source resistors: 1 % parts, taken as limits of a rectangular distribution (JCGM 100:2008,
 * 4.3.7).
 */
const uSourceRel = 0.01 / Math.sqrt(3);
/**
 * In series with the 10 ohm resistor: on-resistance of the source's switch and the contact of the
 * force pins, which differs from touch to touch; common practice, no source.
 */
const switchOhm = 0.2;
const uSwitchOhm = 0.2;
/**
 * Open-circuit level over reference, gain included: four 1 % resistors as rectangular limits would
 * be 1.2 %; they are bought as matched 0.5 % dividers.
 */
const uSpanRel = 0.005;
/** Live zero: 0.1 V from a 1 % divider on the same reference. */
const uLiveZeroRel = 0.01 / Math.sqrt(3);
/** Offset of the sense amplifier, referred to its input: 10 microvolt rms (zero-drift type). */
const uOffsetVolt = 10e-6;
/**
 * The tips are Kelvin: what is left is the metal between a tip's two pins and the pad, a few
 * milliohm; common practice, no source.
 */
const leadOhm = 0.002;
const uLeadOhm = 0.0015;
/**
 * What of that residue differs from touch to touch, and so is left after a calibration; common
 * practice, no source.
 */
export const uTouchOhm = 0.0005;
/**
 * The tip voltage's attenuator lies across the tips for good (front-end.cir): seen from them, it
 * lowers both the open level and Rs.
 */
const loadOhm = 800e6;
/** Reference of the voltage channel (not ratiometric) with its divider by 8: 1 % limits each. */
const uVoltRel = 0.008;
/**
 * Middle of the voltage channel: 2.5 V from a 0.1 % divider on the reference, times the divider by
 * 8.
 */
const uMidVolt = (2.5 * 0.001) / Math.sqrt(3);

/**
 * Returns the calibration entry of an ideal probe of this design for one range and level; null
 * where the gain is 0 (level not offered).
 */
function nominalRange(row: (typeof rangeTable)[number], level: Level): RangeCalibration | null {
  const gain = level === 'dry' ? row.gainDry : row.gainNormal;
  if (gain === 0) return null;
  const openVolt = level === 'dry' ? frontEndTable.openDryVolt : frontEndTable.openNormalVolt;
  const nOff = frontEndTable.liveZeroVolt * codesPerConverterVolt;
  const hasSwitch = row.sourceOhm <= 10;
  const seriesOhm = row.sourceOhm + (hasSwitch ? switchOhm : 0);
  const loaded = loadOhm / (loadOhm + seriesOhm);
  const span = openVolt * gain * codesPerConverterVolt * loaded;
  const rsOhm = seriesOhm * loaded;
  const varOff = (nOff * uLiveZeroRel) ** 2 + (uOffsetVolt * gain * codesPerConverterVolt) ** 2;
  const varSpan = (span * uSpanRel) ** 2;
  const varRs = (row.sourceOhm * uSourceRel) ** 2 + (hasSwitch ? uSwitchOhm ** 2 : 0);
  // an offset moves both ends alike, hence the covariance of nOff with nOpen
  return {
    range: row.id,
    level,
    nOff,
    nOpen: nOff + span,
    rsOhm,
    cov: [varOff, varOff, 0, varOff + varSpan, 0, varRs],
  };
}

const voltage: VoltageCalibration = {
  nZero: frontEndTable.voltageMidVolt * codesPerConverterVolt,
  codesPerVolt: codesPerConverterVolt / frontEndTable.voltageDivider,
  uZero: uMidVolt * codesPerConverterVolt,
  uCodesPerVoltRel: uVoltRel,
};

/**
 * The calibration of an unmeasured probe of this design: nominal parts, with uncertainty that
 * covers their tolerances.
 */
export const nominalCalibration: Calibration = {
  id: 'nominal',
  source: 'nominal',
  probeSerial: null,
  dateIso: null,
  validDays: null,
  ranges: (['normal', 'dry'] as const).flatMap((level) => rangeTable.flatMap((row) => nominalRange(row, level) ?? [])),
  voltage,
  leadOhm,
  uLeadOhm,
};
