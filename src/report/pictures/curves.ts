import { ohmOfCode, rangeCalibration } from '../../measure/reading/calibration.ts';
import type { Calibration, CaptureWindow, Quantity } from '../../measure/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { type AttemptEntry, isAttempt, windowsIn } from '../../record/kinds/stored-kinds.ts';

/** Values of one captured window over the probe's time. */
export interface Curve {
  label: string;
  quantity: Quantity;
  periodUs: number;
  values: number[];
}

/** Returns the captured traces of a record in ohm or volt, by the calibrations that stand in it. */
export function curvesOf(entries: readonly Entry[]): Curve[] {
  const calibrations = new Map<string, Calibration>();
  const curves: Curve[] = [];
  for (const entry of entries) {
    if (entry.kind === 'probe') calibrations.set(entry.calibration.id, entry.calibration);
    // presses have a picture of their own
    if (!isAttempt(entry) || entry.kind === 'presses') continue;
    for (const { part, quantity, window, calibration: id } of windowsIn(entry)) {
      const calibration = calibrations.get(id);
      if (calibration === undefined) continue;
      const label = part === null ? labelOf(entry) : `${labelOf(entry)}, ${part}`;
      const curve = curveOf(label, quantity, window, calibration);
      if (curve !== null) curves.push(curve);
    }
  }
  return curves;
}

function labelOf({ n, check, attempt }: AttemptEntry): string {
  return `entry ${n}: ${check}${attempt === 1 ? '' : `, attempt ${attempt}`}`;
}

function curveOf(label: string, quantity: Quantity, window: CaptureWindow, calibration: Calibration): Curve | null {
  const { codes, periodUs } = window;
  if (quantity === 'voltage') {
    const { nZero, codesPerVolt } = calibration.voltage;
    return { label, quantity, periodUs, values: codes.map((code) => (code - nZero) / codesPerVolt) };
  }
  const range = rangeCalibration(calibration, window.range, window.level);
  return range === null ? null : { label, quantity, periodUs, values: codes.map((code) => ohmOfCode(code, range)) };
}
