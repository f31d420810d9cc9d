import { openOhm } from '../circuit/faults.ts';

/** A joint of a few milliohms varies by this much with how the tips stand: no limit is tighter. */
const seatOhm = 0.1;
/** Below this a path is judged from above only. */
const twoSidedOhm = 100;
/** What is apart reads at least this on a clean board. */
const apartOhm = 1e6;
/** Around a voltage; common practice, no source. */
const voltShare = 0.07;
const lowVolt = 0.2;

/**
 * Returns the limits of a resistance that is expected, as a guide writes them: three standard
 * deviations up and 0.1 ohm at least, from 100 ohm on four to both sides.
 *
 * @param spread relative, one standard deviation of ln R: of the kind, the fit and the reading
 *   together
 */
export function ohmLimitsText(ohm: number, spread: number): string {
  if (ohm >= openOhm / 2) return `min ${apartOhm / 1e6} Mohm`;
  if (ohm < twoSidedOhm) return `max ${written(Math.max(ohm * Math.exp(3 * spread), ohm + seatOhm))} ohm`;
  return `${written(ohm * Math.exp(-4 * spread))}..${written(ohm * Math.exp(4 * spread))} ohm`;
}

/** Returns the limits of a voltage that is expected, as a guide writes them. */
export function voltLimitsText(volt: number): string {
  if (Math.abs(volt) < lowVolt / 2) return `max ${lowVolt} V`;
  const [a, b] = [volt * (1 - voltShare), volt * (1 + voltShare)];
  return `${written(Math.min(a, b))}..${written(Math.max(a, b))} V`;
}

/** Three digits: a limit is not known better. */
function written(value: number): string {
  return String(Number(value.toPrecision(3)));
}
