import { ohmOfCode, rangeCalibration } from '../../src/measure/reading/calibration.ts';
import { calibrationInUse } from '../../src/measure/reading/calibration-age.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readWindow } from '../../src/measure/reading/read-window.ts';
import type { Calibration, CaptureWindow } from '../../src/measure/types.ts';
import { robustMean } from '../../src/statistics/robust.ts';
import { type Measured, median } from './benchmark.ts';

export const name = 'reading-cost';
export const claim =
  'a reading with its whole uncertainty budget against the bare conversion of the same window (robust mean of its codes, then ohms)';

const windows = 512;
const rounds = 15;
const passesARound = 20;

/** A calibration with every part that a budget can have. */
function fullCalibration(): Calibration {
  const ranges = nominalCalibration.ranges.map((entry) => ({ ...entry, uCommonRel: 1e-4 }));
  const dated = {
    ...nominalCalibration,
    ranges,
    source: 'file' as const,
    dateIso: '2026-01-01T00:00:00.000Z',
    validDays: 365,
  };
  return calibrationInUse(dated, { nowMs: Date.UTC(2026, 5, 1), temperatureC: 23 });
}

/** Windows as a settled touch gives them: 27 codes of the range in the middle, a few codes of spread, none alike. */
function someWindows(): CaptureWindow[] {
  let x = 1;
  const next = (): number => {
    x = (x * 48_271) % 2_147_483_647;
    return x / 2_147_483_647;
  };
  return Array.from({ length: windows }, () => {
    const middle = 1000 + 11_000 * next();
    const codes = Array.from({ length: 27 }, () => Math.round(middle + 6 * (next() + next() + next() - 1.5)));
    return { tUs: 0, periodUs: 884, range: 2, level: 'normal', flagBits: 0, codes };
  });
}

/** Returns the ratio of the two costs, each the median of rounds that take turns. */
export async function measure(): Promise<Measured> {
  const calibration = fullCalibration();
  const entry = rangeCalibration(calibration, 2, 'normal')!;
  const all = someWindows();
  let sink = 0;
  const bare = (window: CaptureWindow): void => {
    sink += ohmOfCode(robustMean(window.codes, 2.7, 5).mean, entry) - calibration.leadOhm;
  };
  const full = (window: CaptureWindow): void => {
    sink += readWindow(window, calibration).u;
  };
  const timed = (act: (window: CaptureWindow) => void): number => {
    const startMs = performance.now();
    for (let pass = 0; pass < passesARound; pass++) for (const window of all) act(window);
    return ((performance.now() - startMs) * 1000) / (passesARound * all.length);
  };
  timed(bare);
  timed(full);
  const bareUs: number[] = [];
  const fullUs: number[] = [];
  for (let round = 0; round < rounds; round++) {
    bareUs.push(timed(bare));
    fullUs.push(timed(full));
  }
  if (!Number.isFinite(sink)) throw new Error('a reading was no number');
  const inRange = all.filter((window) => readWindow(window, calibration).state === 'in-range').length;
  if (inRange !== all.length) throw new Error(`${inRange} of ${all.length} windows were read in range`);
  return {
    figures: [
      { what: 'whole budget / bare conversion', value: median(fullUs) / median(bareUs), sense: 'at most', target: 3 },
    ],
    work: { rounds: fullUs.length, windows: all.length, inRange },
    numbers: { bareUs: median(bareUs), fullUs: median(fullUs) },
  };
}
