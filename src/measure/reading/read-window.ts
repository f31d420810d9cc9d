import { flagBits } from '../../protocol/table.ts';
import { manyDof } from '../../statistics/distributions/distribution.ts';
import type { Calibration, CaptureWindow, Quantity, RangeCalibration, Reading, UncertaintyPart } from '../types.ts';
import { endCode, ohmWithPartials, rangeCalibration, rangeEndOhm, rangeEndVolt } from './calibration.ts';
import { type CodeStatistics, codeStatistics } from './code-statistics.ts';
import { fullScaleCode } from './nominal.ts';

/**
 * A value is out of range only when it is beyond the end by so many standard uncertainties: 'near
 * certainty' (0.9987, normal).
 */
const beyond = 3;

/**
 * Returns the resistance (or voltage, by the window's flags) of a captured window with its
 * uncertainty by the law of propagation (JCGM 100:2008, 5.1.2 and 5.2.2) and its degrees of freedom
 * (G.4.1). Never throws: what can't be read is `unreadable`.
 *
 * The mean is taken in codes and converted after, since noise in ohms grows without bound near the
 * open level.
 */
export function readWindow(window: CaptureWindow, calibration: Calibration): Reading {
  const statistics = codeStatistics(window.codes);
  if ((window.flagBits & flagBits.voltage) !== 0) {
    return statistics === null ? unreadable('voltage', rangeEndVolt()) : readVolt(statistics, calibration);
  }
  const entry = rangeCalibration(calibration, window.range, window.level);
  if (entry === null) return unreadable('resistance', Number.MAX_VALUE);
  if (statistics === null) return unreadable('resistance', rangeEndOhm(entry));
  return readOhm(statistics, entry, calibration);
}

function readOhm(statistics: CodeStatistics, entry: RangeCalibration, calibration: Calibration): Reading {
  const rangeEnd = rangeEndOhm(entry);
  const end = endCode(entry);
  const atEnd = combine(ohmParts(Math.min(statistics.mean, end), statistics, entry, calibration));
  if (statistics.mean >= end) {
    const uEndCode = atEnd.u / ohmWithPartials(end, entry).byCode;
    if (
      statistics.mean > end + beyond * uEndCode ||
      statistics.mean > fullScaleCode - 1 ||
      statistics.mean >= entry.nOpen
    ) {
      return { quantity: 'resistance', value: rangeEnd, ...atEnd, state: 'above-range', rangeEnd };
    }
  }
  const { u, dof, parts } = combine(ohmParts(statistics.mean, statistics, entry, calibration));
  const value = ohmWithPartials(statistics.mean, entry).ohm - calibration.leadOhm;
  if (!Number.isFinite(value) || !Number.isFinite(u)) return unreadable('resistance', rangeEnd);
  const state = value < -beyond * u ? 'below-range' : 'in-range';
  return { quantity: 'resistance', value, u, dof, state, rangeEnd, parts };
}

/**
 * The budget of a resistance: each part through its own derivative. What the reference set has in
 * common (a factor on every resistance) is taken out of the calibration's variance to be told
 * apart; the sum stays the same.
 */
function ohmParts(
  code: number,
  statistics: CodeStatistics,
  entry: RangeCalibration,
  calibration: Calibration,
): UncertaintyPart[] {
  const { ohm, byCode, byOff, byOpen, byRs } = ohmWithPartials(code, entry);
  const [offOff, offOpen, offRs, openOpen, openRs, rsRs] = entry.cov;
  const variance =
    byOff * byOff * offOff +
    byOpen * byOpen * openOpen +
    byRs * byRs * rsRs +
    2 * (byOff * byOpen * offOpen + byOff * byRs * offRs + byOpen * byRs * openRs);
  const { drift, uLeadOhm } = calibration;
  const uReference = Math.abs(ohm) * (entry.uCommonRel ?? 0);
  // a covariance matrix that is not quite positive (rounded on its way) must not give a NaN
  const uCalibration = Math.sqrt(Math.max(0, variance - uReference * uReference));
  const parts: UncertaintyPart[] = [
    repeatability(byCode, statistics),
    { name: 'rounding', u: byCode * statistics.uRounding },
    { name: 'non-linearity', u: byCode * statistics.uNonlinearity },
    { name: 'calibration', u: uCalibration },
    { name: 'tips and leads', u: uLeadOhm },
  ];
  if (uReference > 0) parts.push({ name: 'reference set', u: uReference });
  if (drift !== undefined) {
    const bySource = byRs * entry.rsOhm * drift.sourcePerK;
    const bySpan = byOpen * (entry.nOpen - entry.nOff) * drift.spanPerK;
    parts.push({ name: 'temperature', u: (drift.withinK / Math.sqrt(3)) * Math.sqrt(bySource ** 2 + bySpan ** 2) });
    parts.push({ name: 'ageing', u: Math.abs(ohm) * drift.ageingRel });
  }
  return parts;
}

/** Type A, and so the one part with few degrees of freedom in most budgets. */
function repeatability(scale: number, { uRepeat, dofRepeat }: CodeStatistics): UncertaintyPart {
  return { name: 'repeatability', u: scale * uRepeat, ...(Number.isFinite(dofRepeat) ? { dof: dofRepeat } : {}) };
}

function readVolt(statistics: CodeStatistics, calibration: Calibration): Reading {
  const { nZero, codesPerVolt, uZero, uCodesPerVoltRel } = calibration.voltage;
  const rangeEnd = rangeEndVolt();
  const value = (statistics.mean - nZero) / codesPerVolt;
  const perCode = Math.abs(1 / codesPerVolt);
  const list: UncertaintyPart[] = [
    repeatability(perCode, statistics),
    { name: 'rounding', u: perCode * statistics.uRounding },
    { name: 'non-linearity', u: perCode * statistics.uNonlinearity },
    { name: 'zero', u: perCode * uZero },
    { name: 'scale', u: Math.abs(value) * uCodesPerVoltRel },
  ];
  const { drift } = calibration;
  if (drift !== undefined) {
    list.push({ name: 'temperature', u: (Math.abs(value) * drift.voltPerK * drift.withinK) / Math.sqrt(3) });
    list.push({ name: 'ageing', u: Math.abs(value) * drift.ageingRel });
  }
  const { u, dof, parts } = combine(list);
  if (!Number.isFinite(value) || !Number.isFinite(u)) return unreadable('voltage', rangeEnd);
  // the converter ends near the range end, so 'beyond' can't be asked for here
  if (Math.abs(value) < rangeEnd) return { quantity: 'voltage', value, u, dof, state: 'in-range', rangeEnd, parts };
  const above = value > 0;
  const state = above ? 'above-range' : 'below-range';
  return { quantity: 'voltage', value: above ? rangeEnd : -rangeEnd, u, dof, state, rangeEnd, parts };
}

/**
 * Root sum of squares of independent parts, and Welch-Satterthwaite (JCGM 100:2008, 5.1.2 and
 * G.2b).
 */
function combine(parts: UncertaintyPart[]): { u: number; dof: number; parts: UncertaintyPart[] } {
  let variance = 0;
  for (const part of parts) variance += part.u * part.u;
  const u = Math.sqrt(variance);
  return { u, dof: Math.min(effectiveDof(u, parts), manyDof), parts };
}

/**
 * Returns the effective degrees of freedom of a combined uncertainty: u^4 over the sum of u_i^4 /
 * dof_i (JCGM 100:2008, G.2b). Infinity if every part is well known.
 */
export function effectiveDof(u: number, parts: readonly { u: number; dof?: number }[]): number {
  let sum = 0;
  for (const part of parts) if (part.dof !== undefined) sum += part.u ** 4 / part.dof;
  return sum === 0 ? Number.POSITIVE_INFINITY : u ** 4 / sum;
}

function unreadable(quantity: Quantity, rangeEnd: number): Reading {
  return { quantity, value: 0, u: rangeEnd, dof: 1, state: 'unreadable', rangeEnd, parts: [] };
}
