import { randomOf } from '../../sim/random.ts';
import { fitCalibration } from '../../src/calibrate/fit/fit-calibration.ts';
import { nextStandard } from '../../src/calibrate/fit/next-standard.ts';
import { spreadOver, workingSpanOhm } from '../../src/calibrate/fit/working-span.ts';
import type { CalPoint, Standard } from '../../src/calibrate/points/cal-point.ts';
import { codeOfOhm } from '../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { rateTable } from '../../src/protocol/table.ts';
import { type Measured, median } from './benchmark.ts';

export const name = 'calibration-fit';
export const claim =
  'fitting 200 points of nine ranges, and the advice after it, against the time that one touch is looked at';

const pointCount = 200;
const runs = 15;
/** Window and dwell of a touch (readings at the standard rate), which pass before a point is taken. */
const readingsATouch = 36_000 / rateTable.standard.periodUs;
const touchMs = (readingsATouch * rateTable.standard.periodUs) / 1000;
const meta = { probeSerial: 1, dateUnixS: 1_790_000_000, validDays: 365, temperatureC: 23, setId: 'BENCH' };

/** Points as a long sitting leaves them; with `wrong`, two of a range are swapped, so that the search has to look at pairs. */
function points(wrong: boolean): CalPoint[] {
  const random = randomOf(1, 'calibration-fit');
  const ranges = nominalCalibration.ranges;
  const perRange = Math.ceil(pointCount / ranges.length) - 2;
  const made = ranges.flatMap((entry) => {
    const { range, level } = entry;
    const span = workingSpanOhm(range, level)!;
    const ohms = spreadOver({ least: span.least, most: span.most * 0.95 }, perRange);
    const standards: Standard[] = [
      { kind: 'short' },
      { kind: 'open' },
      ...ohms.map(
        (ohm): Standard => ({ kind: 'resistor', ohm, uOhm: ohm * 0.0006, uCommonRel: 1e-4, name: String(ohm) }),
      ),
    ];
    return standards.map((standard): CalPoint => {
      const ohm =
        standard.kind === 'short'
          ? 0
          : standard.kind === 'resistor'
            ? standard.ohm * (1 + 0.0006 * random.normal())
            : Infinity;
      const code = Math.min(16_368, codeOfOhm(ohm + 0.002, entry) + 4 * random.normal());
      return { range, level, standard, code, uCode: 1, n: 28 };
    });
  });
  const taken = made.slice(0, pointCount);
  if (wrong) {
    const [a, b] = [taken[40]!, taken[46]!];
    [a.code, b.code] = [b.code, a.code];
  }
  return taken;
}

function timeMs(run: () => unknown): number {
  const ms: number[] = [];
  for (let i = -3; i < runs; i++) {
    const startMs = performance.now();
    run();
    if (i >= 0) ms.push(performance.now() - startMs);
  }
  return median(ms);
}

/** Returns the time of a whole fit as a share of the 36 ms that the probe itself takes to look at one touch: below 1, a screen can fit anew at every point. */
export async function measure(): Promise<Measured> {
  const sound = points(false);
  const wrong = points(true);
  const [straight, swapped] = [fitCalibration(sound, meta), fitCalibration(wrong, meta)];
  const changed = JSON.stringify(straight.ranges) === JSON.stringify(swapped.ranges) ? 0 : 1;
  const fitted = straight.calibration?.ranges.length ?? 0;
  const advised = nextStandard(sound).length;
  const fitMs = timeMs(() => fitCalibration(sound, meta));
  const searchMs = timeMs(() => fitCalibration(wrong, meta));
  const adviceMs = timeMs(() => nextStandard(sound));
  return {
    figures: [
      { what: 'fit of 200 points / time of one touch', value: fitMs / touchMs, sense: 'at most', target: 1 },
      {
        what: 'the same with two swapped / time of one touch',
        value: searchMs / touchMs,
        sense: 'at most',
        target: 10,
      },
      {
        what: 'advice on the next standard / time of one touch',
        value: adviceMs / touchMs,
        sense: 'at most',
        target: 2,
      },
    ],
    work: { points: sound.length, runs, fitted, fitsThatSwappingChanged: changed, advised },
    numbers: { fitMs, searchMs, adviceMs, touchMs },
  };
}
