import { fitCalibration } from '../../calibrate/fit/fit-calibration.ts';
import { nextStandard } from '../../calibrate/fit/next-standard.ts';
import type { CalPoint } from '../../calibrate/points/cal-point.ts';
import { codeStatistics } from '../../measure/reading/code-statistics.ts';
import type { CaptureWindow } from '../../measure/types.ts';
import { type CalibrationState, fittedPointsOf, isTaken, pointsOf, type StandardState } from './calibration-state.ts';

/** Returns the point that a settled window gives, of a standard in its setting number `step`. */
export function pointFrom(window: CaptureWindow, { standard, combinations }: StandardState, step: number): CalPoint {
  const statistics = codeStatistics(window.codes)!;
  const { range, level } = combinations[step]!;
  const uCode = Math.hypot(statistics.uRepeat, statistics.uRounding);
  return { range, level, standard, code: statistics.mean, uCode, n: window.codes.length };
}

/** Returns the fit of what has been taken so far, and the resistor that would help most. */
export function refitted(state: CalibrationState): Pick<CalibrationState, 'fit' | 'next'> {
  const points = pointsOf(state);
  const fitted = fittedPointsOf(state);
  // a zero of the voltage channel alone is no calibration
  const isFit = fitted.some(({ level }) => level !== 'voltage');
  const fit = isFit ? fitCalibration(fitted, state.meta) : null;
  const left = state.standards.filter((one) => !one.skipped && !isTaken(one) && one.standard.kind === 'resistor');
  // with nothing left to present, what could be added
  const offered = left.length === 0 && state.isOpenEnded ? null : left.map(({ standard }) => standard);
  const best = points.length === 0 ? [] : nextStandard(points, offered);
  return { fit, next: best.find(({ standard }) => standard.kind === 'resistor') ?? null };
}
