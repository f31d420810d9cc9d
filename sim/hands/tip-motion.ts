import type { TestBench, TipName, TipPlace } from '../bench.ts';
import type { Random } from '../random.ts';

/**
 * Landing: the second tip comes this much later (mean), each bounces with at most this many makes
 * within this time; common practice, no source.
 */
const betweenTipsUs = 40e3;
const makes = { low: 1, high: 4 } as const;
const bounceUs = { low: 200, high: 3_000 } as const;
/**
 * Force when a tip first touches, and where it goes in a ramp of some steps; a person with a sprung
 * tip, common practice, no source.
 */
const firstNewton = 0.15;
const restNewton = { low: 0.7, high: 1.5 } as const;
const rampUs = 80e3;
const rampSteps = 8;
/** A holding hand trembles: force drawn anew this often, within this share. */
const tremorUs = 45e3;
const tremorShare = 0.08;
/**
 * A slip: the wrong thing is touched for less time than any capture takes, then the tip is taken up
 * and comes back.
 */
const slipAfterUs = { low: 3e3, high: 12e3 } as const;
const slipTouchUs = { low: 2e3, high: 12e3 } as const;
const slipReturnUs = { low: 150e3, high: 400e3 } as const;

const between = (random: Random, range: { readonly low: number; readonly high: number }): number =>
  range.low + (range.high - range.low) * random.uniform();

/** A landing of both tips. */
export interface Landing {
  readonly bench: TestBench;
  readonly random: Random;
  readonly places: readonly [TipPlace, TipPlace];
  /** Pads of which a slip may touch one; empty: no slip. */
  readonly slipTo: readonly string[];
}

/**
 * Lands both tips with bounce and a force ramp; `done` is called at rest with a function that ends
 * the tremor of the holding hand.
 */
export function landTips(landing: Landing, done: (stopTremor: () => void) => void): void {
  const { bench, random, places, slipTo } = landing;
  const { clock } = bench;
  const startUs = clock.nowUs;
  const after = (us: number, run: () => void): (() => void) => clock.at(startUs + us, run);
  const order: TipName[] = random.uniform() < 0.5 ? ['a', 'b'] : ['b', 'a'];
  const placeOf = (tip: TipName): TipPlace => places[tip === 'a' ? 0 : 1];
  const restN = { a: between(random, restNewton), b: between(random, restNewton) };
  // tips that are put together meet at one moment
  const together = places[0].on === 'tips';
  let landedUs = together ? 0 : random.exponential(betweenTipsUs);
  bounce(landing, order[0]!, 0);
  bounce(landing, order[1]!, landedUs);
  if (slipTo.length > 0) {
    const tip = order[1]!;
    const wrong = slipTo[random.integer(0, slipTo.length - 1)]!;
    const slipUs = landedUs + between(random, slipAfterUs);
    const upUs = slipUs + between(random, slipTouchUs);
    landedUs = upUs + between(random, slipReturnUs);
    after(slipUs, () => bench.setTip(tip, { on: 'pad', pad: wrong }, firstNewton));
    after(upUs, () => bench.setTip(tip, { on: 'air' }, 0));
    bounce(landing, tip, landedUs);
  }
  const rampFromUs = landedUs + bounceUs.high;
  for (let step = 1; step <= rampSteps; step++)
    after(rampFromUs + (rampUs * step) / rampSteps, () => {
      for (const tip of order)
        bench.setTip(tip, placeOf(tip), firstNewton + ((restN[tip] - firstNewton) * step) / rampSteps);
    });
  after(rampFromUs + rampUs + 1, () => done(tremble(landing, restN)));
}

/** Takes both tips up, each with a last bounce, and calls `done` when both are in the air. */
export function liftTips(bench: TestBench, random: Random, done: () => void): void {
  const { clock } = bench;
  const startUs = clock.nowUs;
  const up = (['a', 'b'] as const).filter((tip) => bench.tipAt(tip).on !== 'air');
  let lastUs = 0;
  for (const tip of up) {
    const atUs = random.exponential(betweenTipsUs / 4);
    const place = bench.tipAt(tip);
    clock.at(startUs + atUs, () => bench.setTip(tip, { on: 'air' }, 0));
    if (random.uniform() < 0.5) {
      clock.at(startUs + atUs + 300, () => bench.setTip(tip, place, firstNewton));
      clock.at(startUs + atUs + 900, () => bench.setTip(tip, { on: 'air' }, 0));
    }
    lastUs = Math.max(lastUs, atUs + 1000);
  }
  clock.at(startUs + lastUs, done);
}

function bounce(landing: Landing, tip: TipName, atUs: number): void {
  const { bench, random, places } = landing;
  const { clock } = bench;
  const place = places[tip === 'a' ? 0 : 1];
  const count = random.integer(makes.low, makes.high);
  const spanUs = between(random, bounceUs);
  const flips = Array.from({ length: 2 * (count - 1) }, () => random.uniform() * spanUs).sort((a, b) => a - b);
  const startUs = clock.nowUs + atUs;
  for (const [index, afterUs] of [0, ...flips].entries())
    clock.at(startUs + afterUs, () => bench.setTip(tip, index % 2 === 0 ? place : { on: 'air' }, firstNewton));
}

function tremble(landing: Landing, restN: Readonly<Record<TipName, number>>): () => void {
  const { bench, random } = landing;
  const { clock } = bench;
  let cancel: () => void = () => undefined;
  const again = (): void => {
    cancel = clock.at(clock.nowUs + tremorUs, () => {
      for (const tip of ['a', 'b'] as const) {
        const place = bench.tipAt(tip);
        if (place.on !== 'air') bench.setTip(tip, place, restN[tip] * (1 + tremorShare * random.normalWithin(2)));
      }
      again();
    });
  };
  again();
  return () => cancel();
}
