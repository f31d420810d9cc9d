import { describe, expect, test } from 'vitest';
import type { ReadingEvidence } from '../../src/checks/evidence.ts';
import { type Circuit, type CircuitState, solveCircuit } from '../../src/guide/circuit/circuit.ts';
import { openOhm } from '../../src/guide/circuit/faults.ts';
import { faultWeight } from '../../src/guide/circuit/link-kinds.ts';
import type { Check, Fault, FaultMode, Guide, Link, ResistanceCheck, VoltageCheck } from '../../src/guide/types.ts';
import { believe } from '../../src/isolate/belief/belief.ts';
import { openModel } from '../../src/isolate/predict/model.ts';
import { isolationRules } from '../../src/isolate/rules/rules.ts';
import { randomFrom, randomGuide } from './isolate-random-guide.ts';

// Reference: the posterior by enumeration, written a second time from the definitions alone: every suspect, 80 values of its ohms, the whole circuit
// solved for each, densities multiplied and summed in plain numbers. Nothing of isolate/ is used in it.

const guides = 12;
const steps = 80;

type NumberCheck = ResistanceCheck | VoltageCheck;

/** Two units, cut at a link's number, and checks between random nodes. */
function guideOf(seed: number): Guide {
  const random = randomFrom(seed * 31 + 1);
  const guide = randomGuide(seed);
  const pick = (): string => guide.nodes[Math.floor(random() * guide.nodes.length)]!;
  guide.units = ['left', 'right'].map((id) => ({ id, name: id, lithium: false }));
  for (const [k, link] of guide.links.entries()) link.unit = k % 2 === 0 ? 'left' : 'right';
  const common = { title: 't', prompt: 'p', minutes: 1, pressed: guide.keys.map(({ id }) => id) };
  guide.checks = Array.from({ length: 5 }, (_, k): Check => {
    const pads: [string, string] = [pick(), pick()];
    while (pads[1] === pads[0]) pads[1] = pick();
    if (guide.ground !== null && k >= 3) {
      return { ...common, id: `c${k}`, kind: 'voltage', power: 'on', pads, limits: { quantity: 'voltage' } };
    }
    const level = k === 1 ? 'dry' : 'normal';
    return {
      ...common,
      id: `c${k}`,
      kind: 'resistance',
      power: 'off',
      pads,
      level,
      limits: { quantity: 'resistance', max: 1e6 },
    };
  });
  return guide;
}

function shownBy(guide: Guide, check: NumberCheck, faults: Fault[]): { value: number; circuit: Circuit } {
  const level = check.kind === 'resistance' ? check.level : 'normal';
  const state: CircuitState = { power: check.power, pressed: check.pressed, faults, level };
  const circuit = solveCircuit(guide, state);
  const value =
    check.kind === 'resistance' ? circuit.resistanceOhm(...check.pads) : circuit.thevenin(...check.pads).openVolt;
  return { value, circuit };
}

const scale = (ohm: number): number => Math.log(ohm + 0.005);
const normal = (x: number, sigma: number): number => Math.exp(-0.5 * (x / sigma) ** 2) / sigma / Math.sqrt(2 * Math.PI);

/** Density of a reading when the circuit shows a value. */
function density(
  guide: Guide,
  check: NumberCheck,
  evidence: ReadingEvidence,
  shown: ReturnType<typeof shownBy>,
  healthyVolt: number,
): number {
  const { value, u, state } = evidence.reading!;
  if (check.kind === 'voltage') {
    // no limits: the rails are known to 2 %; 10 mV for the rest; a fault's own effect to 3 %
    const sigma = Math.hypot(0.01, 0.02 * shown.value, 0.03 * (shown.value - healthyVolt), u, spreadVolt(guide, check));
    return normal(value - shown.value, sigma);
  }
  const isOpen = shown.value >= openOhm;
  if (state === 'above-range') return shown.value > 5e8 ? 1 : shown.value > 1e7 ? 1 : 0;
  if (isOpen) return 0;
  const spread = shown.circuit
    .shares(...check.pads)
    .reduce((sum, { share, link }) => sum + (share * guide.links.find(({ id }) => id === link)!.spread) ** 2, 0);
  const sigma = Math.hypot(0.03, (Math.sqrt(spread) * shown.value) / (shown.value + 0.005), u / (value + 0.005));
  return normal(scale(value) - scale(shown.value), sigma);
}

/** What the links' spreads make of a voltage, by moving each of them a little. */
const spreads = new Map<string, number>();
function spreadVolt(guide: Guide, check: VoltageCheck): number {
  const key = `${guide.id} ${check.id}`;
  let known = spreads.get(key);
  if (known === undefined) {
    const volt = (linkOhm: Record<string, number>): number =>
      solveCircuit(guide, { power: 'on', pressed: check.pressed, faults: [], level: 'normal', linkOhm }).thevenin(
        ...check.pads,
      ).openVolt;
    const parts = guide.links.map(({ id, ohm, spread }) => ((volt({ [id]: ohm * 1.001 }) - volt({})) / 0.001) * spread);
    known = Math.hypot(...parts);
    spreads.set(key, known);
  }
  return known;
}

const chanceOf = (evidence: ReadingEvidence): number =>
  evidence.quantity === 'voltage' ? 1 / 7 : evidence.reading!.state === 'above-range' ? 0.3 : 0.7 / Math.log(1e10);

/** Ways that a fault may be: the fault by level, and its share. */
function waysOf(link: Link, mode: FaultMode): { faults: (level: 'dry' | 'normal') => Fault[]; share: number }[] {
  const evenly = (low: number, high: number): number[] =>
    Array.from({ length: steps }, (_, k) => low * (high / low) ** ((k + 0.5) / steps));
  const added = (ohm: number): Fault[] => [{ link: link.id, mode: 'high', ohm }];
  if (mode === 'high') {
    const low = Math.max(0.5, link.ohm / 2);
    return evenly(low, Math.max(1e5, 20 * low)).map((ohm) => ({ faults: () => added(ohm), share: 1 / steps }));
  }
  if (mode === 'weak') return evenly(0.5, 30).map((ohm) => ({ faults: () => added(ohm), share: 1 / steps }));
  if (mode === 'short') {
    return evenly(0.02, 2).map((ohm) => ({
      faults: () => [{ link: link.id, mode, node: link.near[0]!, ohm }],
      share: 1 / steps,
    }));
  }
  if (mode === 'film') {
    // nine in ten break down at the normal level, to 5..80 ohm
    const dry = evenly(100, 1e6);
    const broken = evenly(5, 80);
    return dry.flatMap((ohm, k) => [
      {
        faults: (level: 'dry' | 'normal') => added(level === 'dry' ? ohm : broken[(k * 97) % steps]!),
        share: 0.9 / steps,
      },
      { faults: () => added(ohm), share: 0.1 / steps },
    ]);
  }
  return [{ faults: () => [{ link: link.id, mode }], share: 1 }];
}

function enumerated(guide: Guide, evidence: ReadingEvidence[]): Map<string, number> {
  const checks = evidence.map(({ check }) => guide.checks.find(({ id }) => id === check) as NumberCheck);
  const healthy = checks.map((check) => shownBy(guide, check, []));
  const likelihood = (faults: (level: 'dry' | 'normal') => Fault[]): number =>
    evidence.reduce((product, one, k) => {
      const check = checks[k]!;
      const now = faults(check.kind === 'resistance' ? check.level : 'normal');
      const mode = now[0]?.mode;
      const shown = shownBy(guide, check, now);
      let p = density(guide, check, one, shown, healthy[k]!.value);
      let steady = 0.97;
      const open = mode === 'intermittent' ? shownBy(guide, check, [{ ...now[0]!, mode: 'open' }]) : null;
      if (open !== null) {
        p = 0.85 * p + 0.15 * density(guide, check, one, open, healthy[k]!.value);
        steady = 0.97 * (1 - 0.8 * noticed(check, open.value, shown.value));
      }
      return product * (0.99 * steady * p + 0.01 * 0.9 * chanceOf(one));
    }, 1);
  const weights = guide.links.flatMap((link) =>
    (['open', 'high', 'short', 'film', 'weak', 'intermittent', 'stuck'] as const).flatMap((mode) => {
      const weight = mode === 'short' && link.near[0] === link.from ? 0 : faultWeight(link, mode);
      return weight > 0 ? [{ link, mode, weight }] : [];
    }),
  );
  const total = weights.reduce((sum, { weight }) => sum + weight, 0);
  const masses = new Map([['none', guide.healthy * likelihood(() => [])]]);
  for (const { link, mode, weight } of weights) {
    const id = mode === 'short' ? `${link.id}=short:${link.near[0]}` : `${link.id}=${mode}`;
    const sum = waysOf(link, mode).reduce((all, { faults, share }) => all + share * likelihood(faults), 0);
    masses.set(id, ((1 - guide.healthy) * weight * sum) / total);
  }
  const all = [...masses.values()].reduce((sum, mass) => sum + mass, 0);
  return new Map([...masses].map(([id, mass]) => [id, mass / all]));
}

function noticed(check: NumberCheck, one: number, other: number): number {
  if (check.kind === 'resistance') return Math.min(1, Math.abs(scale(one) - scale(other)) / 0.05);
  return Math.min(1, Math.abs(one - other) / (0.02 * Math.max(0.2, Math.abs(other))));
}

describe('the posterior against enumeration', () => {
  test.each(Array.from({ length: guides }, (_, k) => k + 1))(
    'random guide %i, a fault drawn, one to five readings',
    (seed) => {
      const random = randomFrom(seed * 101);
      const guide = guideOf(seed);
      guide.id = `g${seed}`;
      const link = guide.links[Math.floor(random() * guide.links.length)]!;
      const fault: Fault =
        random() < 0.3 ? { link: link.id, mode: 'open' } : { link: link.id, mode: 'high', ohm: 10 ** (4 * random()) };
      const evidence = guide.checks.slice(0, 1 + (seed % 5)).map((check): ReadingEvidence => {
        const { value } = shownBy(guide, check as NumberCheck, [fault]);
        const quantity = check.kind === 'voltage' ? 'voltage' : 'resistance';
        const isOpen = quantity === 'resistance' && value > 1e7;
        const noisy = quantity === 'voltage' ? value + 0.01 * (random() - 0.5) : value * (1 + 0.04 * (random() - 0.5));
        const reading = isOpen
          ? { value: 1e7, u: 0, state: 'above-range' as const }
          : { value: noisy, u: 0.01 * Math.abs(noisy) + 0.002, state: 'in-range' as const };
        return { check: check.id, kind: quantity, quantity, unsteady: false, reading };
      });
      const belief = believe(openModel(guide, isolationRules[1]), evidence);
      if ('code' in belief) throw new Error(belief.what);
      const singles = belief.suspects.filter(({ faults }) => faults.length < 2);
      const share = singles.reduce((sum, { p }) => sum + p, 0);
      const reference = enumerated(guide, evidence);
      expect(singles).toHaveLength(reference.size);
      const byLink = (of: Iterable<[string, number]>): Map<string, number> => {
        const sums = new Map<string, number>();
        for (const [id, p] of of) sums.set(id.split('=')[0]!, (sums.get(id.split('=')[0]!) ?? 0) + p);
        return sums;
      };
      const links = byLink(singles.map(({ id, p }) => [id, p / share]));
      for (const [id, expected] of byLink(reference)) {
        const p = links.get(id)!;
        expect(Math.abs(p - expected), `${id}: ${p}, enumerated ${expected}`).toBeLessThan(0.02 + 0.05 * expected);
      }
      // a cell takes what is seen as even between its ends, so ways to fail of one link may lie further apart where a reading saturates
      for (const { id, p } of singles) {
        const expected = reference.get(id)!;
        expect(p / share, `${id}, enumerated ${expected}`).toBeGreaterThan(expected / 2 - 0.005);
        expect(p / share, `${id}, enumerated ${expected}`).toBeLessThan(expected * 2 + 0.005);
      }
    },
  );
});
