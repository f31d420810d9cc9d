import { ohmWithPartials, rangeCalibration } from './calibration.ts';
import { codeStatistics } from './code-statistics.ts';
import { manyDof } from './distribution.ts';
import { effectiveDof, readWindow } from './read-window.ts';
import type { Calibration, CaptureWindow, Reading, UncertaintyPart } from './types.ts';

/** Difference of two readings, in ohm, with its standard uncertainty. */
export interface Difference {
  ohm: number;
  u: number;
  dof: number;
  parts: UncertaintyPart[];
}

/**
 * Returns the resistance of window `a` less that of `b` under one calibration; null when one of them is no resistance in range.
 *
 * What both share enters by the difference of their sensitivities (JCGM 100:2008, 5.2.2): on one range and level the calibration, the
 * temperature and the ageing; on one range at two levels the ageing; on any two the reference set. All else is independent.
 */
export function readDifference(a: CaptureWindow, b: CaptureWindow, calibration: Calibration): Difference | null {
  const first = readWindow(a, calibration);
  const second = readWindow(b, calibration);
  const isOhm = (reading: Reading): boolean => reading.quantity === 'resistance' && reading.state === 'in-range';
  if (!isOhm(first) || !isOhm(second)) return null;
  const sameRange = a.range === b.range;
  const same = sameRange && a.level === b.level;
  const u = (reading: Reading, name: string): number => reading.parts.find((part) => part.name === name)?.u ?? 0;
  const apart = (name: string): UncertaintyPart => ({
    name,
    u: Math.sqrt(u(first, name) ** 2 + u(second, name) ** 2),
  });
  const together = (name: string): UncertaintyPart => ({ name, u: Math.abs(u(first, name) - u(second, name)) });
  const typeA = [first, second].flatMap(({ parts }) => parts.filter(({ name }) => name === 'repeatability'));
  const parts = [
    ...typeA,
    ...['rounding', 'non-linearity', 'tips and leads'].map(apart),
    same ? { name: 'calibration', u: Math.sqrt(sharedVariance(a, b, calibration)) } : apart('calibration'),
    ...(same ? [] : [together('reference set')]),
    same ? together('temperature') : apart('temperature'),
    sameRange ? together('ageing') : apart('ageing'),
  ].filter((part) => part.u > 0);
  const combined = Math.sqrt(parts.reduce((sum, part) => sum + part.u * part.u, 0));
  const dof = Math.min(effectiveDof(combined, parts), manyDof);
  return { ohm: first.value - second.value, u: combined, dof, parts };
}

/** Variance of the difference from one covariance (the reference set's part is in it). */
function sharedVariance(a: CaptureWindow, b: CaptureWindow, calibration: Calibration): number {
  const entry = rangeCalibration(calibration, a.range, a.level)!;
  const p = ohmWithPartials(codeStatistics(a.codes)!.mean, entry);
  const q = ohmWithPartials(codeStatistics(b.codes)!.mean, entry);
  const off = p.byOff - q.byOff;
  const open = p.byOpen - q.byOpen;
  const rs = p.byRs - q.byRs;
  const [offOff, offOpen, offRs, openOpen, openRs, rsRs] = entry.cov;
  const squares = off * off * offOff + open * open * openOpen + rs * rs * rsRs;
  return Math.max(0, squares + 2 * (off * open * offOpen + off * rs * offRs + open * rs * openRs));
}
