import { describe, expect, test } from 'vitest';
import type { Evidence, ReadingEvidence } from '../../../src/checks/evidence.ts';
import type { Check } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { evidenceEffect, logAt } from '../../../src/isolate/belief/evidence-effect.ts';
import { outcomeProbabilities } from '../../../src/isolate/belief/outcomes.ts';
import { betaBinomial } from '../../../src/isolate/kinds/presses-outcome.ts';
import { type Model, openModel } from '../../../src/isolate/predict/model.ts';
import { isolationRules } from '../../../src/isolate/rules/rules.ts';
import { normalCdf } from '../../../src/statistics/distributions/distribution.ts';
import { quickCdf, quickRamp } from '../../../src/statistics/distributions/normal-table.ts';
import { circuitGuide } from '../../outside/solver-network.ts';

const touch = { title: 't', power: 'off', minutes: 1, prompt: 'p', pads: ['A', 'C'], level: 'normal' } as const;
const guide = circuitGuide(
  ['A', 'B', 'C'],
  [
    { id: 'contact', from: 'A', to: 'B', ohm: 0.05, kind: 'spring', spread: 0.2 },
    { id: 'dome', from: 'B', to: 'C', ohm: 1, kind: 'switch', spread: 0.1 },
  ],
  {
    keys: [{ id: 'key', name: 'key', link: 'dome', with: [] }],
    checks: [
      {
        ...touch,
        pads: ['A', 'C'],
        id: 'held',
        kind: 'resistance',
        pressed: ['key'],
        limits: { quantity: 'resistance', max: 5 },
      },
      {
        ...touch,
        pads: ['A', 'C'],
        id: 'presses',
        kind: 'presses',
        key: 'key',
        count: 20,
        maxBad: 0,
        limits: { quantity: 'resistance', max: 5 },
      },
      {
        ...touch,
        pads: ['A', 'C'],
        id: 'flex',
        kind: 'steady',
        pressed: ['key'],
        holdMs: 4000,
        maxDropOuts: 0,
        maxWander: 0.2,
        limits: { quantity: 'resistance', max: 5 },
      },
    ] as Check[],
  },
);
const model = openModel(guide);
const cellOf = (id: string, of: Model = model): number => of.cellStart[of.suspects.findIndex((one) => one.id === id)]!;

function logOf(evidence: Evidence, id: string, of: Model = model): number {
  return logAt(of, evidenceEffect(of, evidence), cellOf(id, of));
}

describe('the normal distribution from a table', () => {
  test('is that of the exact function to 1e-8, tails and the ends of the table among them', () => {
    for (let z = -9; z <= 9; z += 0.0137) {
      expect(Math.abs(quickCdf(z) - normalCdf(z))).toBeLessThan(1e-8);
      const bell = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
      expect(Math.abs(quickRamp(z) - (z * normalCdf(z) + bell))).toBeLessThan(1e-8);
    }
  });
});

describe('a reading', () => {
  const reading = (value: number, more: Partial<ReadingEvidence> = {}): Evidence => ({
    check: 'held',
    kind: 'resistance',
    quantity: 'resistance',
    reading: { value, u: 0.02 * value, state: 'in-range' },
    unsteady: false,
    ...more,
  });

  test('inside its limits has the probability of being there, wherever inside it lies', () => {
    for (const id of ['none', 'contact=open', 'dome=open', 'contact=intermittent', 'dome=stuck']) {
      const at = model.suspects.findIndex((one) => one.id === id);
      const { classes, p } = outcomeProbabilities(model, 'held', at)!;
      const pass = p.reduce((sum, one, k) => (classes[k]!.isPass ? sum + one : sum), 0);
      for (const ohm of [0.01, 0.3, 1.05, 3, 4.9]) {
        expect(Math.abs(Math.exp(logOf(reading(ohm), id)) - pass), `${id} ${ohm}`).toBeLessThan(0.02);
      }
    }
  });

  test('under the first rules has that probability when summed over the limits', () => {
    const model = openModel(guide, isolationRules[1]);
    for (const id of ['none', 'contact=open', 'dome=open', 'contact=intermittent', 'dome=stuck']) {
      const { classes, p } = outcomeProbabilities(
        model,
        'held',
        model.suspects.findIndex((one) => one.id === id),
      )!;
      const pass = p.reduce((sum, one, k) => (classes[k]!.isPass ? sum + one : sum), 0);
      let summed = 0;
      const step = 0.01;
      // on the scale ln(R + 5 mohm), from next to nothing to the limit
      for (let y = Math.log(0.0051); y < Math.log(5.005); y += step) {
        summed += Math.exp(logOf(reading(Math.exp(y) - 0.005), id, model)) * step;
      }
      expect(Math.abs(summed - pass), `${id}: ${summed} ${pass}`).toBeLessThan(0.015);
    }
  });

  test('held and flexed, shows what comes and goes more surely than touched', () => {
    const unsteady = (check: string): number =>
      logOf(reading(1, { check, reading: null, unsteady: true }), 'contact=intermittent');
    expect(unsteady('flex')).toBeGreaterThan(unsteady('held'));
  });
});

describe('presses', () => {
  const presses = (bad: number, ohm: number | null): Evidence => ({
    check: 'presses',
    kind: 'presses',
    closed: ohm === null ? null : { value: ohm, u: 0.02 * ohm, state: 'in-range' },
    bad,
    count: 20,
  });
  const leading = (evidence: Evidence): string => {
    const belief = believe(model, [evidence, evidence]);
    if ('code' in belief) throw new Error(belief.what);
    return belief.suspects[0]!.id;
  };

  test('beta-binomial probabilities sum to 1, and are the binomial ones where the chance is known', () => {
    let sum = 0;
    for (let k = 0; k <= 20; k++) sum += betaBinomial(k, 20, 0.3, 4);
    expect(sum).toBeCloseTo(1, 9);
    // C(5,2) 0.3^2 0.7^3
    expect(betaBinomial(2, 5, 0.3, 1e9)).toBeCloseTo(0.3087, 6);
  });

  test('some bad ones speak for what comes and goes, none that closes for an open, all good ones for a good key', () => {
    expect(leading(presses(6, 1.05))).toMatch(/=intermittent$/);
    expect(leading(presses(20, null))).toMatch(/=(open|stuck)$/);
    expect(logOf(presses(0, 1.05), 'none')).toBeGreaterThan(logOf(presses(0, 1.05), 'dome=intermittent') + 1);
    expect(logOf(presses(0, 1.05), 'none')).toBeGreaterThan(logOf(presses(0, 1.05), 'dome=stuck') + 3);
  });

  test('counts that cannot be are refused', () => {
    for (const bad of [-1, 21, 0.5]) {
      const belief = believe(model, [presses(bad, 1)]);
      expect('code' in belief && belief.code).toBe('evidence.count');
    }
  });
});
