// The posterior against an independent small implementation that follows the text of the model: random guides, brute force, quadrature.
import { describe, expect, test } from 'vitest';
import type { Evidence, Measured } from '../../src/checks/evidence.ts';
import type { Check, Guide } from '../../src/guide/types.ts';
import { believe } from '../../src/isolate/belief/belief.ts';
import { openModel } from '../../src/isolate/predict/model.ts';
import { isolationRules } from '../../src/isolate/rules.ts';
import { posteriorOf } from './isolate-independent.ts';
import { randomFrom, randomGuide } from './isolate-random-guide.ts';

const guides = 20;

/** A random network with checks of four kinds between random pads; volts against the ground only. */
function guideOf(seed: number, random: () => number): Guide {
  const guide = randomGuide(seed);
  const pick = <T>(all: readonly T[]): T => all[Math.floor(random() * all.length)]!;
  const pads = (): [string, string] => {
    const a = pick(guide.nodes);
    const b = pick(guide.nodes.filter((node) => node !== a));
    return [a, b];
  };
  const common = { title: 't', prompt: 'p', minutes: 1, pressed: guide.keys.map(({ id }) => id) };
  const limits = { quantity: 'resistance', max: 1e6 } as const;
  const off = { ...common, power: 'off' } as const;
  const films = guide.links.filter(({ kind }) => kind === 'spring' || kind === 'connector').map(({ id }) => id);
  const checks: Check[] = [
    { ...off, id: 'ohm', kind: 'resistance', pads: pads(), level: 'normal', limits },
    { ...off, id: 'dry', kind: 'resistance', pads: pads(), level: 'dry', limits },
    { ...off, id: 'levels', kind: 'dry-normal', pads: pads(), limits, factor: 2 },
    {
      ...off,
      id: 'look',
      kind: 'look',
      question: 'q',
      passAnswer: 'yes',
      sees: films.slice(0, 2).map((link) => ({ link, mode: 'film' as const })),
    },
    { ...off, id: 'more', kind: 'resistance', pads: pads(), level: 'normal', limits },
  ];
  const { ground } = guide;
  const tied = guide.links.flatMap(({ from, to, kind }) =>
    kind === 'switch' ? [] : from === ground ? [to] : to === ground ? [from] : [],
  );
  if (ground !== null && tied.length > 0) {
    checks.push({
      ...common,
      id: 'volt',
      kind: 'voltage',
      power: 'on',
      pads: [pick(tied), ground],
      limits: { quantity: 'voltage' },
    });
  }
  return { ...guide, checks };
}

/** Something that any of the check's cells may show: random, so that suspects are parted and none is certain. */
function evidenceOf(check: Check, random: () => number): Evidence {
  const ohm = (): Measured => {
    if (random() < 0.2) return { value: 1e7, u: 0, state: 'above-range' };
    const value = 10 ** (-2 + 5 * random());
    return { value, u: 0.002 + 0.01 * value, state: 'in-range' };
  };
  switch (check.kind) {
    case 'resistance':
      return { check: check.id, kind: 'resistance', quantity: 'resistance', reading: ohm(), unsteady: random() < 0.2 };
    case 'dry-normal':
      return { check: check.id, kind: 'dry-normal', dry: ohm(), normal: ohm() };
    case 'voltage': {
      const reading: Measured = { value: 4 * random(), u: 0.005, state: 'in-range' };
      return { check: check.id, kind: 'voltage', quantity: 'voltage', reading, unsteady: false };
    }
    default:
      return { check: check.id, kind: 'look', answer: random() < 0.5 ? 'yes' : 'no' };
  }
}

describe('the posterior is the one that the text of the model gives under rules 1, to 1e-4', () => {
  test.each(Array.from({ length: guides }, (_, k) => k + 1))('random guide %i', (seed) => {
    const random = randomFrom(seed * 7907);
    const guide = guideOf(seed, random);
    const evidence = guide.checks.filter(() => random() < 0.6).map((check) => evidenceOf(check, random));
    const belief = believe(openModel(guide, isolationRules[1]!), evidence);
    if ('code' in belief) throw new Error(belief.what);
    const singles = belief.suspects.filter(({ faults }) => faults.length < 2);
    const share = singles.reduce((sum, { p }) => sum + p, 0);
    const reference = posteriorOf(guide, evidence);
    expect(singles.map(({ id }) => id).sort()).toEqual([...reference.keys()].sort());
    for (const { id, p } of singles) {
      const expected = reference.get(id)!;
      expect(Math.abs(p / share - expected), `${id}: ${p / share}, independently ${expected}`).toBeLessThan(1e-4);
    }
  });
});
