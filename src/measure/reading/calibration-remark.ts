import { coverageFactor } from '../../statistics/distributions/distribution.ts';
import type { Calibration, Reading } from '../types.ts';
import { expandedUncertainty, formatQuantity } from './format.ts';

/** Which parts of a budget a missing or an expired calibration is to blame for. */
const blamed = { none: ['calibration', 'zero', 'scale'], expired: ['ageing'] } as const;

/**
 * Returns what is to be said of a reading whose calibration is missing or past its date, and what
 * it costs in uncertainty: the expanded uncertainty (95 %) with and without the parts that it
 * stands for. Null where the calibration holds. `reading` null: the remark alone.
 */
export function calibrationRemark(calibration: Calibration, reading: Reading | null): string | null {
  const what = standing(calibration);
  if (what === 'holds') return null;
  const said =
    what === 'none'
      ? 'probe not calibrated'
      : what === 'expired'
        ? 'calibration expired'
        : 'calibration of unknown age';
  if (reading === null || reading.state !== 'in-range') return said;
  const names: readonly string[] = what === 'none' ? blamed.none : blamed.expired;
  const rest = reading.parts.filter(({ name }) => !names.includes(name));
  const u = Math.sqrt(rest.reduce((sum, part) => sum + part.u * part.u, 0));
  const [withIt, withoutIt] = [expandedUncertainty(reading), coverageFactor(0.95, reading.dof) * u].map(
    (value) => `${formatQuantity(Number(value.toPrecision(2)), reading.quantity)}`,
  );
  return `${said}: U ${withIt}, would be ${withoutIt}`;
}

/** Returns a sentence with the remark behind it, if there is one. */
export function withRemark(why: string, calibration: Calibration, reading: Reading | null): string {
  const remark = calibrationRemark(calibration, reading);
  return remark === null ? why : `${why}; ${remark}`;
}

function standing({ source, drift }: Calibration): 'holds' | 'none' | 'expired' | 'unknown' {
  if (source === 'nominal') return 'none';
  if (drift === undefined) return 'holds'; // of a record from before ages were kept
  if (drift.periods === null) return 'unknown';
  return drift.periods > 1 ? 'expired' : 'holds';
}
