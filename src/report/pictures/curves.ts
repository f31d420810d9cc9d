import { ohmOfCode, rangeCalibration } from '../../measure/reading/calibration.ts';
import type { Calibration, CaptureWindow, Quantity } from '../../measure/types.ts';
import type { Entry, EntryOf } from '../../record/entries/entries.ts';

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
  const add = (label: string, quantity: Quantity, window: CaptureWindow | undefined, id: string | undefined): void => {
    const calibration = calibrations.get(id ?? '');
    const curve =
      window === undefined || calibration === undefined ? null : curveOf(label, quantity, window, calibration);
    if (curve !== null) curves.push(curve);
  };
  for (const entry of entries) {
    if (entry.kind === 'probe') calibrations.set(entry.calibration.id, entry.calibration);
    if (entry.kind === 'capture')
      add(labelOf(entry), entry.quantity, entry.capture?.window, entry.capture?.calibration);
    if (entry.kind === 'steady') add(labelOf(entry), 'resistance', entry.capture?.window, entry.capture?.calibration);
    if (entry.kind === 'levels') {
      add(`${labelOf(entry)}, dry`, 'resistance', entry.dry?.capture.window, entry.dry?.capture.calibration);
      add(`${labelOf(entry)}, normal`, 'resistance', entry.normal?.capture.window, entry.normal?.capture.calibration);
    }
    if (entry.kind === 'bridge') {
      add(`${labelOf(entry)}, idle`, 'voltage', entry.idle?.window, entry.calibration);
      for (const window of entry.closed?.windows ?? [])
        add(`${labelOf(entry)}, closed from ${window.tUs} us`, 'voltage', window, entry.calibration);
    }
  }
  return curves;
}

type Attempt = EntryOf<'capture' | 'steady' | 'levels' | 'bridge'>;

function labelOf({ n, check, attempt }: Attempt): string {
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
