import { describe, expect, test } from 'vitest';
import type { Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { planRepairs } from '../../../src/isolate/repair/repair-plan.ts';
import { circuitGuide } from '../../outside/solver-network.ts';

/** A chain of links, all of one unit, that fail alike. */
function oneUnitGuide(count: number): Guide {
  const nodes = Array.from({ length: count + 1 }, (_, i) => `n${i}`);
  const links = nodes.slice(1).map((to, i) => ({ id: `l${i}`, from: `n${i}`, to, ohm: 1, spread: 0.05 }));
  const fixes = links.map(({ id }) => ({ link: id, mode: null }));
  const repairs = [{ id: 'new', name: 'fit a new one', fixes, price: 10, minutes: 5, success: 1 }];
  return { ...circuitGuide(nodes, links), healthy: 0, repairs };
}

describe('probabilities that are sums of many', () => {
  // thirds, sevenths and the like don't add up to one exactly
  test('never leave 0 to 1, for a record takes nothing else', () => {
    for (let count = 1; count <= 60; count++) {
      const model = openModel(oneUnitGuide(count));
      const belief = believe(model, []);
      if ('code' in belief) throw new Error(belief.what);
      const plan = planRepairs(model, belief);
      const all = [...belief.suspects, ...belief.decisions, ...plan.steps].map(({ p }) => p);
      expect(Math.max(...all, plan.left)).toBeLessThanOrEqual(1);
      expect(Math.min(...all, plan.left)).toBeGreaterThanOrEqual(0);
    }
  });
});
