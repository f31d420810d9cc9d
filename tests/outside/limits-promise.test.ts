// What `limits` promises, held against populations that are known: the share of all good units inside is at least the coverage, in at least the
// share of tries that the confidence says (within its binomial error). The populations are drawn here; nothing of them is given to the program.
import { describe, expect, test } from 'vitest';
import { proposeLimits } from '../../src/calibrate/limits/limits-proposal.ts';
import type { Limits } from '../../src/measure/types.ts';
import { normalCdf } from '../../src/statistics/distributions/distribution.ts';
import { runs } from '../support/runs.ts';
import { normals } from './seeded-normals.ts';

const promise = { coverage: 0.95, confidence: 0.95 };
const tries = runs(200);
const populations = [
  { name: 'normal, 10 % spread', draw: (z: number) => 1 + 0.1 * z, z: (x: number) => (x - 1) / 0.1 },
  {
    name: 'log-normal, spread factor 1.35',
    draw: (z: number) => Math.exp(0.3 * z),
    z: (x: number) => Math.log(x) / 0.3,
  },
  { name: 'log-normal, spread factor 2.7', draw: (z: number) => Math.exp(z), z: (x: number) => Math.log(x) },
];
const sides: [string, Limits][] = [
  ['upper', { quantity: 'resistance', max: 100 }],
  ['both', { quantity: 'resistance', min: 0.001, max: 100 }],
];

describe.each(populations)('$name', ({ draw, z }) => {
  test.each(sides)('%s', (_, current) => {
    for (const n of [8, 25]) {
      const next = normals(n);
      let held = 0;
      let proposed = 0;
      for (let i = 0; i < tries; i++) {
        const values = Array.from({ length: n }, (__, k) => ({
          unit: `u${k}`,
          value: draw(next()),
          u: null,
          isOpen: false,
        }));
        const { limits, verdict } = proposeLimits('key', current, values, promise);
        if (verdict !== 'proposed' || limits === null) continue;
        proposed++;
        const above = limits.min === undefined ? 0 : normalCdf(z(limits.min));
        const inside = (limits.max === undefined ? 1 : normalCdf(z(limits.max))) - above;
        if (inside >= promise.coverage) held++;
      }
      // the others are doubtful: too few units of that shape for a limit above zero, or one that does not belong
      expect(proposed).toBeGreaterThan(tries / 5);
      // four standard deviations of a binomial share of 0.95
      expect(held / proposed).toBeGreaterThan(0.95 - 4 * Math.sqrt((0.95 * 0.05) / proposed));
    }
  });
});
