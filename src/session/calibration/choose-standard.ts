import { standardOhm } from '../../calibrate/points/cal-point.ts';
import { type CalibrationState, isTaken, type StandardState } from './calibration-state.ts';

/**
 * Returns the standard to present next: one of which a part was read, both ends of the scale, what
 * lowers the uncertainty most, then the order of the set; null when all are taken or skipped.
 */
export function chooseStandard({
  standards,
  next,
}: Pick<CalibrationState, 'standards' | 'next'>): StandardState | null {
  const left = standards.filter((one) => !one.skipped && !isTaken(one));
  const end = left.find(({ standard }) => standard.kind !== 'resistor');
  const best = left.find(({ standard }) => next !== null && sameStandard(standard, next.standard));
  return standardStarted(left) ?? end ?? best ?? left[0] ?? null;
}

/** Both ends come first: what is added waits for them. */
export function isEndDone({ standards }: CalibrationState): boolean {
  return standards.every((one) => one.standard.kind === 'resistor' || one.skipped || isTaken(one));
}

/** A standard of which a part was read comes before all others: it is at the tips. */
function standardStarted(left: readonly StandardState[]): StandardState | null {
  return left.find(({ taken }) => taken.some((point) => point !== null)) ?? null;
}

function sameStandard(a: StandardState['standard'], b: StandardState['standard']): boolean {
  return a.kind === b.kind && standardOhm(a) === standardOhm(b);
}
