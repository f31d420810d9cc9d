import { describe, expect, test } from 'vitest';
import { tipsInAir } from '../../../sim/hands/tips.ts';
import { controlsInReset } from '../../../sim/probe/controls.ts';
import { EmulatedProbe } from '../../../sim/probe/emulated-probe.ts';
import { FrontEnd } from '../../../sim/probe/front-end.ts';
import { nominalParts } from '../../../sim/probe/front-end-parts.ts';
import { randomOf } from '../../../sim/random.ts';
import { ProbeHost } from '../../support/probe-host.ts';
import { onResistor, SetWorld } from '../../support/worlds.ts';

const excited = { ...controlsInReset, excitation: true };
const resistor = (ohm: number) => ({ ...tipsInAir, ...onResistor(ohm) });
/** Mean code over many conversions at one moment, so that noise is out of it. */
function code(frontEnd: FrontEnd, tUs: number): number {
  let sum = 0;
  for (let i = 0; i < 400; i++) sum += frontEnd.convert(0, tUs, 128);
  return sum / 400;
}

describe('settling', () => {
  // first-order response: 1 - exp(-t / tau), tau = R C of source and leads plus the filter's (any textbook)
  test.each([
    ['1 Mohm source, tips lifted', 3, 0.3e-3 + 10e-6],
    ['33 kohm source, tips lifted', 2, 33e3 * 300e-12 + 10e-6],
    ['10 ohm source, tips lifted', 0, 10e-6],
  ] as const)('%s', (_what, source, tauSecond) => {
    const frontEnd = new FrontEnd(nominalParts, randomOf(1, 'settling'));
    const controls = { ...excited, source };
    frontEnd.set(0, controls, resistor(0.001));
    const from = code(frontEnd, 100_000);
    frontEnd.set(100_000, controls, tipsInAir);
    const to = code(frontEnd, 200_000);
    for (const taus of [0.5, 1, 2, 4]) {
      const expected = to + (from - to) * Math.exp(-taus);
      expect(Math.abs(code(frontEnd, 100_000 + taus * tauSecond * 1e6) - expected)).toBeLessThan(1.5);
    }
  });

  test('the open comparator says when it will turn over, and then it has', () => {
    const frontEnd = new FrontEnd(nominalParts, randomOf(1, 'comparator'));
    const controls = { ...excited, source: 3 };
    frontEnd.set(0, controls, resistor(1));
    expect(frontEnd.comparator(50_000)).toEqual({ open: false, nextChangeUs: Number.POSITIVE_INFINITY });
    frontEnd.set(50_000, controls, tipsInAir);
    const { open, nextChangeUs } = frontEnd.comparator(50_000);
    expect(open).toBe(false);
    expect(frontEnd.comparator(nextChangeUs - 2).open).toBe(false);
    expect(frontEnd.comparator(nextChangeUs).open).toBe(true);
    // 4.1 V is the end, 3.9 V the threshold: after ln(4 / 0.2) time constants
    expect((nextChangeUs - 50_000) / 310).toBeGreaterThan(2.8);
    expect((nextChangeUs - 50_000) / 310).toBeLessThan(3.2);
  });
});

describe('drop-outs shorter than a reading', () => {
  test.each([60, 200, 600])('of %d us: the firmware counts every one', (us) => {
    const world = new SetWorld();
    const host = new ProbeHost(new EmulatedProbe({ seed: 2, world }));
    host.begin();
    world.set(onResistor(20));
    host.run(50_000);
    const before = host.do({ type: 'counters' }).tipEdges;
    for (let i = 0; i < 25; i++) {
      const { probe } = host;
      world.set({});
      probe.runUntilUs(probe.nowUs + us);
      world.set(onResistor(20));
      probe.runUntilUs(probe.nowUs + 3_000);
    }
    expect(host.do({ type: 'counters' }).tipEdges - before).toBe(25);
  });
});
