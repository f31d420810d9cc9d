// What is shared and kept for speed gives what the plain way gives: each cell of each suspect by itself.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../../src/checks/guides.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { evidenceEffect, logAt } from '../../../src/isolate/belief/evidence-effect.ts';
import { outcomeChance } from '../../../src/isolate/belief/outcome-rows.ts';
import { outcomeTable } from '../../../src/isolate/belief/outcomes.ts';
import { bitsOf, nextCheck, proposals } from '../../../src/isolate/next/next-check.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { isolationRules } from '../../../src/isolate/rules/rules.ts';
import type { Belief } from '../../../src/isolate/types.ts';
import { largeGuide } from '../../bench/isolation/large-guide.ts';
import { plainBits, plainLogs, plainOutcomes, readingOf } from '../../support/isolate/plain-way.ts';

function exampleGuide(name: string): Guide {
  const parsed = parseGuide(readFileSync(new URL(`../../../examples/${name}.yaml`, import.meta.url), 'utf8'), name);
  if (!parsed.ok) throw new Error(parsed.problems[0]!.what);
  return parsed.guide;
}

const guides: [string, Guide, number][] = [
  ['the field recorder', exampleGuide('field-recorder'), 1],
  ['the keypad', exampleGuide('membrane-keypad'), 3],
  ['a guide of 320 links', largeGuide(320), 31],
];

describe.each([1, 2])('under rules %i', (rules) => {
  describe.each(guides)('of %s', (_, guide, step) => {
    const model = openModel(guide, isolationRules[rules]);
    const checks = guide.checks.filter((_check, k) => k % step === 0);
    const resistance = guide.checks.find(({ kind }) => kind === 'resistance')!;
    const evidence = [readingOf(resistance.id, 47)];
    const told = believe(model, evidence) as Belief;
    const order = model.suspects.map(({ id }) => told.suspects.findIndex((one) => one.id === id));

    test('outcomes to come, and what they tell', () => {
      const bits = new Map(
        bitsOf(
          model,
          told,
          guide.checks.map(({ id }) => id),
        ).map((one) => [one.check, one.bits]),
      );
      for (const { id } of checks) {
        const plain = plainOutcomes(model, told, id);
        const table = outcomeTable(model, told, id)!;
        let furthest = 0;
        plain.forEach((classes, s) => {
          classes.forEach((p, o) => {
            furthest = Math.max(furthest, Math.abs(p - outcomeChance(table, o, order[s]!)));
          });
        });
        expect(furthest, id).toBeLessThan(1e-12);
        if (told.suspects.length > model.suspects.length) continue;
        const p = order.map((at) => told.suspects[at]!.p);
        const decisions = model.suspects.map(({ decision }) => decision);
        expect(Math.abs(bits.get(id)! - plainBits(plain, p, decisions)), id).toBeLessThan(1e-12);
      }
    });

    test('what a reading says', () => {
      const effect = evidenceEffect(model, evidence[0]!);
      plainLogs(model, evidence[0]!).forEach((log, cell) => {
        expect(Math.abs(log - logAt(model, effect, cell)), `cell ${cell}`).toBeLessThan(
          1e-12 * Math.max(1, Math.abs(log)),
        );
      });
    });

    test('the next check is the best of all that are worth doing', () => {
      const standing = { power: 'off', access: null, done: [resistance.id] } as const;
      const situation = { ...standing, done: [...standing.done] };
      expect(nextCheck(model, told, situation)).toEqual(proposals(model, told, situation)[0]);
    });
  });
});
