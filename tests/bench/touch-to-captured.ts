import { randomOf } from '../../sim/random.ts';
import { defaultContactSettings } from '../../src/measure/contact/contact-settings.ts';
import { type Measured, median, quantile } from './benchmark.ts';
import { groundPad, padOf, resistorBoard } from './resistor-board.ts';
import { type Closure, TouchRig } from './touch-rig.ts';

export const name = 'touch-to-captured';
export const claim =
  'probe time from the first make until the host holds the capture, against the least possible for that touch (its bounce + window + dwell)';

const probes = 10;
const touchesEach = 20;
/** Resistances are drawn evenly over the decades between these. */
const ohm = { low: 0.03, high: 5e6 } as const;
const { windowUs, dwellUs, liftUs } = defaultContactSettings;

/** Returns the closures that belong to one touch: those before `atUs`, back to the last time the tips were apart for long enough to be a lift. */
function touchUntil(closures: readonly Closure[], atUs: number): Closure[] {
  const before = closures.filter((closure) => closure.madeUs <= atUs);
  const lastLift = before.findLastIndex((closure, i) => i > 0 && closure.madeUs - before[i - 1]!.brokeUs >= liftUs);
  return before.slice(Math.max(0, lastLift));
}

/** Returns the ratios over all touches; a touch that was not captured makes the median of too few, and is counted. */
export async function measure(): Promise<Measured> {
  const known: number[] = [];
  const byOwnClock: number[] = [];
  const byDecade = new Map<number, number[]>();
  let missed = 0;
  for (let probe = 0; probe < probes; probe++) {
    const random = randomOf(probe, 'resistances');
    const decades = Math.log10(ohm.high / ohm.low);
    const ohms = Array.from({ length: touchesEach }, () => ohm.low * 10 ** (decades * random.uniform()));
    const rig = new TouchRig({ guide: resistorBoard(ohms), seed: 7_000 + probe });
    for (const [index, ohm] of ohms.entries()) {
      const { outcome, knownAtUs, closures } = rig.touch(padOf(index), groundPad);
      if (outcome?.kind !== 'captured') {
        missed++;
        continue;
      }
      const own = touchUntil(closures, knownAtUs);
      const firstUs = own[0]!.madeUs;
      const leastUs = own.at(-1)!.madeUs - firstUs + windowUs + dwellUs;
      byOwnClock.push(outcome.contact.touchUs / leastUs);
      const ratio = (knownAtUs - firstUs) / leastUs;
      known.push(ratio);
      const decade = Math.floor(Math.log10(ohm));
      byDecade.set(decade, [...(byDecade.get(decade) ?? []), ratio]);
    }
  }
  const decadeLines = [...byDecade]
    .sort(([a], [b]) => a - b)
    .map(
      ([decade, ratios]) =>
        `  1e${decade} ohm and up: median ${median(ratios).toFixed(3)} over ${ratios.length} touches`,
    );
  return {
    figures: [
      { what: 'first make to captured / least possible, median', value: median(known), sense: 'at most', target: 1.3 },
      { what: 'touches not captured', value: missed, sense: 'at most', target: 0 },
    ],
    work: { touches: known.length + missed, captured: known.length },
    numbers: {
      medianByTimesOfReadings: median(byOwnClock),
      p90: quantile(known, 0.9),
      worst: Math.max(...known),
    },
    lines: decadeLines,
  };
}
