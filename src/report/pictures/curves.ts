import { ohmOfCode, rangeCalibration } from '../../measure/reading/calibration.ts';
import type { Calibration, CaptureWindow, Quantity } from '../../measure/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { type AttemptEntry, type ByKind, isAttempt, ofKind } from '../../record/entries/stored-kinds.ts';

/** Values of one captured window over the probe's time. */
export interface Curve {
  label: string;
  quantity: Quantity;
  periodUs: number;
  values: number[];
}

/** A captured window of an attempt, with the calibration that it is read by. */
interface Trace {
  /** What it shows, where an attempt has several. */
  part?: string;
  quantity: Quantity;
  window: CaptureWindow | undefined;
  calibration: string | null | undefined;
}

type Captured = { capture: { window: CaptureWindow; calibration: string } | null } | null;

const traceOf = (quantity: Quantity, from: Captured, part?: string): Trace => ({
  part,
  quantity,
  window: from?.capture?.window,
  calibration: from?.capture?.calibration,
});

/** The traces that are drawn of an attempt, for each kind of check. */
const traces: ByKind<Trace[]> = {
  resistance: (entry) => [traceOf('resistance', entry)],
  voltage: (entry) => [traceOf('voltage', entry)],
  look: () => [],
  presses: () => [],
  bridge: ({ idle, closed, calibration }) => [
    { part: 'idle', quantity: 'voltage', window: idle?.window, calibration },
    ...(closed?.windows ?? []).map(
      (window): Trace => ({ part: `closed from ${window.tUs} us`, quantity: 'voltage', window, calibration }),
    ),
  ],
  'dry-normal': ({ dry, normal }) => [traceOf('resistance', dry, 'dry'), traceOf('resistance', normal, 'normal')],
  steady: (entry) => [traceOf('resistance', entry)],
};

/** Returns the captured traces of a record in ohm or volt, by the calibrations that stand in it. */
export function curvesOf(entries: readonly Entry[]): Curve[] {
  const calibrations = new Map<string, Calibration>();
  const curves: Curve[] = [];
  for (const entry of entries) {
    if (entry.kind === 'probe') calibrations.set(entry.calibration.id, entry.calibration);
    if (!isAttempt(entry)) continue;
    for (const { part, quantity, window, calibration: id } of ofKind(traces, entry)) {
      const calibration = calibrations.get(id ?? '');
      if (window === undefined || calibration === undefined) continue;
      const label = part === undefined ? labelOf(entry) : `${labelOf(entry)}, ${part}`;
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
