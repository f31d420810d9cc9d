import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Evidence } from '../../../src/checks/evidence.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { nextCheck } from '../../../src/isolate/next/next-check.ts';
import { conclude } from '../../../src/isolate/next/stopping.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { currentIsolationRules, isolationRules } from '../../../src/isolate/rules/rules.ts';
import type { Repaired, Situation } from '../../../src/isolate/types.ts';

interface Case {
  guide: string;
  evidence: Evidence[];
  repaired: Repaired[];
  /** Checks in the order in which they were proposed. */
  asked: string[];
  decisions: Record<string, number>;
  suspects: Record<string, number>;
  doubt: boolean;
  situation: Situation;
  conclusion: string;
  group: string[];
  plan: { steps: [string, number][]; expectedPrice: number; expectedMinutes: number; left: number };
}

// what the program of the first rules worked out, on guides as they were then
const { guides, cases } = JSON.parse(
  readFileSync(new URL('../../fixtures/isolation/rules-1.json', import.meta.url), 'utf8'),
) as { guides: Record<string, Guide>; cases: Case[] };
const models = new Map(Object.entries(guides).map(([name, guide]) => [name, openModel(guide, isolationRules[1])]));

describe('rules 1 give what they gave when records were made under them', () => {
  test.each(cases.map((one, k) => [`${k} ${one.guide}`, one] as const))('%s', (_, one) => {
    const model = models.get(one.guide)!;
    const belief = believe(model, one.evidence, one.repaired);
    if ('code' in belief) throw new Error(belief.what);
    for (const [id, p] of Object.entries(one.decisions)) {
      expect(belief.decisions.find((decision) => decision.id === id)?.p ?? 0).toBeCloseTo(p, 9);
    }
    for (const [id, p] of Object.entries(one.suspects)) {
      expect(belief.suspects.find((suspect) => suspect.id === id)?.p ?? 0).toBeCloseTo(p, 9);
    }
    expect(belief.doubt !== null).toBe(one.doubt);
    const concluded = conclude(model, belief, one.situation, one.repaired);
    expect(concluded.kind).toBe(one.conclusion);
    expect(concluded.decisions.map(({ id }) => id)).toEqual(one.group);
    expect(concluded.plan.steps.map(({ repair }) => repair)).toEqual(one.plan.steps.map(([id]) => id));
    concluded.plan.steps.forEach(({ p }, k) => {
      expect(p).toBeCloseTo(one.plan.steps[k]![1], 9);
    });
    expect(concluded.plan.expectedPrice).toBeCloseTo(one.plan.expectedPrice, 7);
    expect(concluded.plan.expectedMinutes).toBeCloseTo(one.plan.expectedMinutes, 7);
    expect(concluded.plan.left).toBeCloseTo(one.plan.left, 9);
  });

  test('and propose the same checks', () => {
    for (const one of cases.slice(0, 6)) {
      const model = models.get(one.guide)!;
      const none = believe(model, []);
      if ('code' in none) throw new Error(none.what);
      expect(nextCheck(model, none, { power: 'off', access: null, done: [] })?.check).toBe(one.asked[0]);
    }
  });
});

describe('sets of rules', () => {
  test('stand under their own numbers', () => {
    for (const [number, rules] of Object.entries(isolationRules)) expect(rules.number).toBe(Number(number));
    expect(isolationRules[currentIsolationRules.number]).toBe(currentIsolationRules);
  });
});
