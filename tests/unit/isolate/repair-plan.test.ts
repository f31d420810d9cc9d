import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../../src/checks/guides.ts';
import { starterGuide } from '../../../src/cli/guides/starters/starter-guide.ts';
import type { FaultMode, Guide } from '../../../src/guide/types.ts';
import { planRepairs } from '../../../src/isolate/repair/repair-plan.ts';
import { currentIsolationRules } from '../../../src/isolate/rules/rules.ts';

const parsed = parseGuide(starterGuide, 'starter');
if (!parsed.ok) throw new Error('the starter guide is not good');
const { guide } = parsed;
const { minutePrice } = currentIsolationRules.repairs;

const suspect = (p: number, ...faults: [link: string, mode: FaultMode][]) => ({
  id: faults.map(([link, mode]) => `${link}=${mode}`).join(' + ') || 'none',
  faults: faults.map(([link, mode]) => ({ link, mode })),
  decision: 'x',
  prior: p,
  p,
});
const film = suspect(0.7, ['contact-a', 'film']);
const dome = suspect(0.2, ['dome', 'open']);
const trace = suspect(0.1, ['trace-a', 'open']);

describe('a plan of repairs', () => {
  const plan = planRepairs({ guide }, { suspects: [film, dome, trace] });

  test('tries the cheap and likely first, each step with the chance that it is the one', () => {
    expect(plan.steps.map(({ repair }) => repair)).toEqual(['clean', 'new-key', 'new-board']);
    const [clean, key, board] = plan.steps;
    expect(clean!.p).toBeCloseTo(0.7 * 0.85, 12);
    // the key unit comes with its contacts: it also mends a film that cleaning left
    expect(key!.p).toBeCloseTo((0.2 + 0.7 * 0.15) * 0.95, 12);
    expect(board!.p).toBeCloseTo(0.1 * 0.97, 12);
    expect(plan.left + clean!.p + key!.p + board!.p).toBeCloseTo(1, 12);
    expect(clean!.fixes).toEqual(['contact-a=film']);
  });

  test('costs what the steps cost, as far as they are got to', () => {
    const [clean, key] = plan.steps.map(({ p }) => p);
    expect(plan.expectedPrice).toBeCloseTo(0.4 + 10 * (1 - clean!) + 90 * (1 - clean! - key!), 12);
    expect(plan.expectedMinutes).toBeCloseTo(6 + 8 * (1 - clean!) + 40 * (1 - clean! - key!), 12);
  });

  test('costs less than the usual part first', () => {
    expect(plan.usual!.repair).toBe('new-key');
    const cost = (one: { expectedPrice: number; expectedMinutes: number }): number =>
      one.expectedPrice + minutePrice * one.expectedMinutes;
    expect(cost(plan)).toBeLessThan(cost(plan.usual!));
    const [key, board] = [(0.7 + 0.2) * 0.95, 0.1 * 0.97];
    expect(plan.usual!.expectedPrice).toBeGreaterThanOrEqual(10 + 90 * (1 - key - board) - 1e-9);
  });

  test('leaves what is as good as ruled out alone', () => {
    const sure = planRepairs(
      { guide },
      { suspects: [suspect(0.998, ['dome', 'open']), suspect(0.002, ['trace-a', 'open'])] },
    );
    expect(sure.steps.map(({ repair }) => repair)).toEqual(['new-key']);
    expect(sure.left).toBeCloseTo(1 - 0.998 * 0.95, 12);
  });

  test('mends two faults at once by both their repairs', () => {
    const both = planRepairs({ guide }, { suspects: [suspect(1, ['contact-a', 'film'], ['trace-a', 'open'])] });
    const repairs = both.steps.map(({ repair }) => repair);
    expect(repairs).toContain('new-board');
    expect(repairs.some((id) => id === 'clean' || id === 'new-key')).toBe(true);
    expect(both.left).toBeLessThan(0.1);
    // the first of two repairs can't be the one that mends
    expect(both.steps[0]!.p).toBe(0);
  });

  test('is empty where nothing is wrong, and where the guide has no repairs', () => {
    const none = suspect(0.97);
    expect(planRepairs({ guide }, { suspects: [none, suspect(0.03, ['dome', 'open'])] })).toMatchObject({
      steps: [],
      expectedPrice: 0,
    });
    const bare: Guide = { ...guide, repairs: [], usual: null };
    expect(planRepairs({ guide: bare }, { suspects: [dome] })).toEqual({
      steps: [],
      expectedPrice: 0,
      expectedMinutes: 0,
      left: 1,
      usual: null,
    });
  });

  test('a repair that costs nothing, in price and time, comes first; a price below zero is refused by the guide', () => {
    const free = guide.repairs.map((repair) =>
      repair.id === 'new-board' ? { ...repair, price: 0, minutes: 0 } : repair,
    );
    const told = planRepairs({ guide: { ...guide, repairs: free } }, { suspects: [film, dome, trace] });
    expect(told.steps[0]!.repair).toBe('new-board');
    expect([told.expectedPrice, told.expectedMinutes].every(Number.isFinite)).toBe(true);
    const negative = parseGuide(starterGuide.replace('price: 0.40', 'price: -1'), 'negative');
    expect(negative).toMatchObject({ ok: false, problems: [{ path: 'repairs.0.price' }] });
  });

  test('is found quickly for a guide with many repairs', () => {
    const links = Array.from({ length: 60 }, (_, k) => `link-${k}`);
    const many: Guide = {
      ...guide,
      repairs: links.map((link, k) => ({
        id: `mend-${k}`,
        name: link,
        fixes: [{ link, mode: null }],
        price: 1 + (k % 7),
        minutes: 1,
        success: 0.9,
      })),
    };
    const told = planRepairs({ guide: many }, { suspects: links.map((link) => suspect(1 / 60, [link, 'open'])) });
    const ratio = told.steps.map(({ p, price }) => p / (price + minutePrice));
    expect(told.steps).toHaveLength(60);
    for (let k = 1; k < ratio.length; k++) expect(ratio[k]!).toBeLessThanOrEqual(ratio[k - 1]! + 1e-12);
  });
});
