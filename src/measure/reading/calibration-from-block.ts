import { type CalibrationBlock, type CalibrationEntry, checkEntryRange } from '../../protocol/calibration-block.ts';
import type { Calibration, RangeCalibration, VoltageCalibration } from '../types.ts';
import { nominalCalibration, uTouchOhm } from './nominal.ts';

/**
 * Returns the calibration that a probe carries. Ranges that it does not hold, or holds with numbers
 * that make no sense, stay nominal with their wide uncertainty; of a block without any measured part
 * the nominal calibration itself is returned.
 */
export function calibrationFromBlock(block: CalibrationBlock): Calibration {
  const usable = block.entries.filter(isUsable);
  const check = usable.find((entry) => entry.range === checkEntryRange);
  const measured = usable.flatMap((entry) => rangeOf(entry) ?? []);
  const has = (a: RangeCalibration): boolean => measured.some((b) => a.range === b.range && a.level === b.level);
  const voltage = usable.find((entry) => entry.level === 'voltage');
  // a block that measured nothing is no calibration, whatever its date says
  if (measured.length === 0 && voltage === undefined) return nominalCalibration;
  // biome-ignore lint/style/noRestrictedGlobals: writes a given time as text, reads no clock
  const dateIso = new Date(block.dateUnixS * 1000).toISOString();
  return {
    id: `probe ${block.probeSerial} ${dateIso} ${block.setId}`.trim(),
    source: 'probe',
    probeSerial: block.probeSerial,
    dateIso,
    validDays: block.validDays === 0 ? null : block.validDays,
    ranges: [...measured, ...nominalCalibration.ranges.filter((entry) => !has(entry))],
    voltage: voltage === undefined ? nominalCalibration.voltage : voltageOf(voltage),
    leadOhm: nominalCalibration.leadOhm,
    // the residue itself was in every touch of the calibration, and cancels
    uLeadOhm: measured.length === 0 ? nominalCalibration.uLeadOhm : uTouchOhm,
    ...(check === undefined ? {} : { check: { ohm: check.rsOhm, uOhm: Math.sqrt(check.cov[5]) } }),
  };
}

function rangeOf(entry: CalibrationEntry): RangeCalibration | null {
  const { range, level, nOff, nOpen, rsOhm, cov } = entry;
  return level === 'voltage' || range === checkEntryRange ? null : { range, level, nOff, nOpen, rsOhm, cov: [...cov] };
}

/**
 * On the voltage channel `nOpen` is codes per volt; its variance is the fourth of the covariance.
 */
function voltageOf(entry: CalibrationEntry): VoltageCalibration {
  const [varZero, , , varPerVolt] = entry.cov;
  return {
    nZero: entry.nOff,
    codesPerVolt: entry.nOpen,
    uZero: Math.sqrt(varZero),
    uCodesPerVoltRel: Math.sqrt(varPerVolt) / Math.abs(entry.nOpen),
  };
}

function isUsable(entry: CalibrationEntry): boolean {
  const [offOff, , , openOpen, , rsRs] = entry.cov;
  if (![entry.nOff, entry.nOpen, entry.rsOhm, ...entry.cov].every(Number.isFinite)) return false;
  if (offOff < 0 || openOpen < 0 || rsRs < 0) return false;
  return entry.level === 'voltage' ? entry.nOpen !== 0 : entry.nOpen > entry.nOff && entry.rsOhm > 0;
}
