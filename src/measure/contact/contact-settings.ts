import type { ContactSettings } from '../types.ts';

/**
 * Settings of a touch as measurement practice here has found them; times in microseconds of the
 * probe's clock.
 */
export const defaultContactSettings: ContactSettings = {
  windowUs: 24_000,
  dwellUs: 12_000,
  unsteadyAfterUs: 2_000_000,
  liftUs: 30_000,
  confirmUs: 100_000,
  seatSense: true,
  makeBelow: 0.9,
  breakAbove: 0.95,
  maxRelSpread: 0.005,
  maxRelDrift: 0.01,
  maxRelWander: 0.05,
  floorOhm: 0.003,
  floorVolt: 0.02,
  noise: { converterLsb: 0.6, humAmpere: 0.5e-9 },
};

/** A touch that is to be steady for longer than this is one to be held by a steady check. */
const longestDwellUs = 10_000_000;

/**
 * Returns the settings of a touch that must be steady for `dwellUs` before it is captured (absent:
 * the usual time). What it asks for beyond the usual is added to the time in which a touch has to
 * settle.
 */
export function touchSettings({
  dwellUs,
  seatSense,
}: {
  dwellUs: number | undefined;
  seatSense: boolean;
}): ContactSettings {
  const usual = defaultContactSettings;
  if (dwellUs === undefined) return { ...usual, seatSense };
  const unsteadyAfterUs = usual.unsteadyAfterUs + Math.max(0, dwellUs - usual.dwellUs);
  return { ...usual, seatSense, dwellUs, unsteadyAfterUs };
}

/** Least number of readings in a window: fewer give no spread to speak of. */
const leastReadings = 8;

/** Returns how many readings a window holds at a reading period. */
export function readingsInWindow(windowUs: number, periodUs: number): number {
  return Math.max(leastReadings, Math.round(windowUs / periodUs));
}

/**
 * Returns what is wrong with settings in one sentence, or null. To be asked once, where settings
 * enter.
 */
export function contactSettingsProblem(settings: ContactSettings): string | null {
  const { windowUs, dwellUs, unsteadyAfterUs, liftUs, confirmUs, makeBelow, breakAbove } = settings;
  const times = { windowUs, dwellUs, unsteadyAfterUs, liftUs, confirmUs };
  for (const [name, us] of Object.entries(times)) {
    if (!Number.isFinite(us) || us < 0) return `${name} must be a time in microseconds, 0 or more; it is ${us}`;
  }
  if (dwellUs > longestDwellUs) {
    return `dwellUs (${dwellUs}) must be at most ${longestDwellUs}`;
  }
  if (windowUs === 0) return 'windowUs must be above 0';
  if (unsteadyAfterUs <= windowUs + dwellUs) {
    return `unsteadyAfterUs (${unsteadyAfterUs}) must be longer than windowUs and dwellUs together (${windowUs + dwellUs})`;
  }
  if (!(makeBelow > 0 && makeBelow < breakAbove && breakAbove < 1)) {
    return `makeBelow (${makeBelow}) and breakAbove (${breakAbove}) must rise between 0 and 1`;
  }
  return null;
}
