import type { FitProblem } from '../fit/fit-types.ts';
import type { CalPoint } from './cal-point.ts';

/**
 * Returns what is wrong with the points of one range, in one sentence, or null: none, mixed, or
 * numbers that can't be.
 */
export function pointProblem(points: readonly CalPoint[]): FitProblem | null {
  const first = points[0];
  if (first === undefined) return problem('none', 'there is no point to fit');
  for (const [i, point] of points.entries()) {
    if (point.range !== first.range || point.level !== first.level) {
      return problem(
        'mixed',
        `point ${i + 1} is of range ${point.range} ${point.level}, the first of range ${first.range} ${first.level}; fit each range alone`,
      );
    }
    const fault = numberFault(point);
    if (fault !== null) return problem('number', `point ${i + 1}: ${fault}`);
  }
  return null;
}

/** Returns which number of a point can't be, or null. */
export function numberFault({ code, uCode, n, standard, level }: CalPoint): string | null {
  if (!Number.isFinite(code) || code < 0) return 'the code must be a number from 0 on';
  if (!Number.isFinite(uCode) || uCode < 0) return "the code's uncertainty must be a number from 0 on";
  if (!Number.isInteger(n) || n < 1) return 'the count of readings must be a whole number from 1 on';
  if (standard.kind === 'resistor') {
    if (!Number.isFinite(standard.ohm) || standard.ohm <= 0)
      return 'the resistance must be above 0 ohm; tips held together are a short';
    if (!Number.isFinite(standard.uOhm) || standard.uOhm < 0)
      return "the resistor's uncertainty must be a number from 0 on";
    if (!Number.isFinite(standard.uCommonRel) || standard.uCommonRel < 0)
      return "the set's common uncertainty must be a number from 0 on";
  }
  if (standard.kind === 'volt') {
    if (level !== 'voltage') return 'a voltage is a standard of the voltage channel only';
    if (!Number.isFinite(standard.volt)) return 'the voltage must be a number';
    if (!Number.isFinite(standard.uVolt) || standard.uVolt < 0)
      return "the voltage's uncertainty must be a number from 0 on";
  }
  if (level === 'voltage' && standard.kind !== 'volt' && standard.kind !== 'short') {
    return 'the voltage channel is calibrated with shorted tips (0 V) and known voltages only';
  }
  return null;
}

function problem(code: string, text: string): FitProblem {
  return { code, text, atBest: 'refused' };
}
