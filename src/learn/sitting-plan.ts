import { type Circuit, solveCircuit } from '../guide/circuit/circuit.ts';
import { openOhm } from '../guide/circuit/faults.ts';
import type { Guide } from '../guide/types.ts';
import type { LearnTable } from './table.ts';
import { touchState } from './touch-state.ts';
import { priorSds, readingSd } from './unknown.ts';

/** One touch of a sitting on a known-good unit. */
export interface SittingTouch {
  /** `value`: its ohms are fitted. `apart`: it has to read open. `film`: dry and normal. `steady`: held. `volt`: at rest. */
  what: 'value' | 'apart' | 'film' | 'steady' | 'volt';
  pads: [string, string];
  access: string | null;
  pressed: string[];
}

/** A link is known well enough below this share of its kind's spread. */
const wellKnown = 0.5;
/** A touch that tells less than this (nats over all links that are not known) is not worth it. */
const leastGain = 0.08;
/** Touches of one pattern; more of them only repeat. */
const mostAlike = 2;
const mostValues = 60;
const mostApart = 12;
/** Keys that get a touch at two levels, and one that is held, each. */
const mostHeldKeys = 4;
/** A touch with a key held takes two minutes, another one. */
const heldMinutes = 2;

/**
 * Returns the touches of a sitting, state of disassembly by state and never back.
 *
 * Values are chosen greedily: each time the touch that most lowers, per minute, the uncertainty of
 * links that are known worse than half of their kind's spread. Each line gets its ends touched once
 * more, and neighbours in a unit are touched to read open: these test the table. Held paths are
 * read dry before anything is lifted.
 */
export function planSitting(table: LearnTable): SittingTouch[] {
  const { guide } = table;
  const bench = new Bench(guide);
  const values = valueTouches(guide, bench);
  const touches = [
    ...heldTouches(table, bench),
    ...values,
    ...lineEnds(table, bench, values),
    ...apartTouches(table, bench),
    ...voltTouches(table, bench),
  ];
  const states = bench.states;
  const order = ['film', 'steady', 'value', 'apart', 'volt'];
  return touches.sort(
    (a, b) => states.indexOf(a.access) - states.indexOf(b.access) || order.indexOf(a.what) - order.indexOf(b.what),
  );
}

/** The device in each state, solved once. */
class Bench {
  readonly states: (string | null)[];
  readonly #guide: Guide;
  readonly #solved = new Map<string, Circuit>();

  constructor(guide: Guide) {
    this.#guide = guide;
    this.states = guide.access.length === 0 ? [null] : guide.access.map(({ id }) => id);
  }

  circuit(access: string | null, pressed: readonly string[]): Circuit {
    const key = JSON.stringify([access, pressed]);
    const known = this.#solved.get(key);
    if (known !== undefined) return known;
    const circuit = solveCircuit(this.#guide, touchState({ access, pressed }));
    this.#solved.set(key, circuit);
    return circuit;
  }

  reached(access: string | null): string[] {
    return this.#guide.pads.filter((pad) => pad.in === undefined || pad.in.includes(access ?? '')).map(({ id }) => id);
  }

  /** The first state in which both pads can be reached and this holds. */
  firstState(pads: readonly [string, string], holds: (access: string | null) => boolean): string | null | undefined {
    return this.states.find((access) => pads.every((pad) => this.reached(access).includes(pad)) && holds(access));
  }
}

interface Candidate extends SittingTouch {
  shares: Float64Array;
  ohm: number;
  minutes: number;
  used: number;
}

function valueTouches(guide: Guide, bench: Bench): SittingTouch[] {
  const candidates = candidatesOf(guide, bench);
  const count = guide.links.length;
  const sds = priorSds(guide);
  const covariance = Array.from({ length: count }, (_, k) => {
    const row = new Float64Array(count);
    row[k] = sds[k]! ** 2;
    return row;
  });
  const enough = guide.links.map(({ spread }) => (wellKnown * spread) ** 2);
  const chosen: SittingTouch[] = [];
  while (chosen.length < mostValues) {
    let best: { candidate: Candidate; worth: number; along: Float64Array; total: number } | null = null;
    for (const candidate of candidates) {
      if (candidate.used >= mostAlike) continue;
      const along = new Float64Array(count);
      for (let k = 0; k < count; k++) {
        const share = candidate.shares[k]!;
        if (share === 0) continue;
        const row = covariance[k]!;
        for (let j = 0; j < count; j++) along[j]! += share * row[j]!;
      }
      let total = readingSd(candidate.ohm) ** 2;
      for (let k = 0; k < count; k++) total += candidate.shares[k]! * along[k]!;
      let gain = 0;
      for (let k = 0; k < count; k++) {
        const variance = covariance[k]![k]!;
        if (variance <= enough[k]! || along[k] === 0) continue;
        gain -= 0.5 * Math.log(Math.max(1e-12, 1 - along[k]! ** 2 / (variance * total)));
      }
      const worth = gain / candidate.minutes;
      if (gain >= leastGain && (best === null || worth > best.worth)) best = { candidate, worth, along, total };
    }
    if (best === null) break;
    const { candidate, along, total } = best;
    for (let k = 0; k < count; k++) {
      if (along[k] === 0) continue;
      for (let j = 0; j < count; j++) covariance[k]![j]! -= (along[k]! * along[j]!) / total;
    }
    for (const other of candidates) if (isAlike(other, candidate)) other.used += 1;
    candidate.used = mostAlike;
    const { what, pads, access, pressed } = candidate;
    chosen.push({ what, pads, access, pressed });
  }
  return chosen;
}

/** Every pair of pads that conducts, in each state, at rest and with a key held that matters. */
function candidatesOf(guide: Guide, bench: Bench): Candidate[] {
  const candidates: Candidate[] = [];
  for (const access of bench.states) {
    const pads = bench.reached(access);
    for (const key of [null, ...guide.keys.map(({ id }) => id)]) {
      const pressed = key === null ? [] : [key];
      const circuit = bench.circuit(access, pressed);
      const rest = bench.circuit(access, []);
      pads.forEach((a, at) => {
        for (const b of pads.slice(at + 1)) {
          const ohm = circuit.resistanceOhm(a, b);
          if (ohm >= openOhm || ohm === 0) continue;
          if (key !== null && Math.abs(Math.log(rest.resistanceOhm(a, b) / ohm)) < 1e-3) continue;
          const shares = Float64Array.from(circuit.shares(a, b), ({ share }) => (share < 1e-6 ? 0 : share));
          const minutes = key === null ? 1 : heldMinutes;
          candidates.push({ what: 'value', pads: [a, b], access, pressed, shares, ohm, minutes, used: 0 });
        }
      });
    }
  }
  return candidates;
}

function isAlike(a: Candidate, b: Candidate): boolean {
  if (Math.abs(a.ohm / b.ohm - 1) > 1e-6) return false;
  return a.shares.every((share, k) => Math.abs(share - b.shares[k]!) < 1e-6);
}

/** Held paths from the far end: what the device itself sees of a key. */
function heldTouches({ guide, lines }: LearnTable, bench: Bench): SittingTouch[] {
  const linkOf = (id: string) => guide.links.find((link) => link.id === id);
  const keys = guide.keys.filter(({ link }) => linkOf(link)?.normally === 'open').slice(0, mostHeldKeys);
  return keys.flatMap(({ id, link }): SittingTouch[] => {
    const access = bench.states[0]!;
    const circuit = bench.circuit(access, [id]);
    const rest = bench.circuit(access, []);
    const ends = lines.map(({ pads }) => pads.findLast(({ pad }) => bench.reached(access).includes(pad))?.pad);
    let best: { pads: [string, string]; share: number } | null = null;
    ends.forEach((a, at) => {
      for (const b of ends.slice(at + 1)) {
        if (a === undefined || b === undefined) continue;
        const ohm = circuit.resistanceOhm(a, b);
        // the switch has to make the path, not stand beside it
        if (ohm >= openOhm || rest.resistanceOhm(a, b) < 10 * ohm) continue;
        const share = circuit.shares(a, b).find((one) => one.link === link)?.share ?? 0;
        if (share > 0.1 && (best === null || share > best.share)) best = { pads: [a, b], share };
      }
    });
    if (best === null) return [];
    const { pads } = best as { pads: [string, string] };
    return (['film', 'steady'] as const).map((what) => ({ what, pads, access, pressed: [id] }));
  });
}

/** The ends of each line once more: a touch on a wrong pad, or a wrong cell, shows as a sum that is not one. */
function lineEnds({ lines }: LearnTable, bench: Bench, values: readonly SittingTouch[]): SittingTouch[] {
  return lines.flatMap(({ pads }): SittingTouch[] => {
    const ends: [string, string] = [pads[0]?.pad ?? '', pads.at(-1)?.pad ?? ''];
    if (pads.length < 2) return [];
    for (const [a, b] of [ends, [pads[1]!.pad, ends[1]]] as [string, string][]) {
      if (a === b) continue;
      const access = bench.firstState([a, b], (state) => bench.circuit(state, []).resistanceOhm(a, b) < openOhm);
      const isThere = values.some((one) => one.pads.includes(a) && one.pads.includes(b) && one.pressed.length === 0);
      if (access !== undefined && !isThere) return [{ what: 'value', pads: [a, b], access, pressed: [] }];
    }
    return [];
  });
}

/** Neighbouring lines of a unit, in the state in which they are apart. */
function apartTouches({ short, lines }: LearnTable, bench: Bench): SittingTouch[] {
  const touches: SittingTouch[] = [];
  for (const { id: unit } of short.units) {
    const inUnit = lines
      .map(({ pads }) => pads.filter((one) => one.unit === unit).map(({ pad }) => pad))
      .filter((pads) => pads.length > 0);
    inUnit.slice(1).forEach((pads, at) => {
      for (const a of inUnit[at]!) {
        for (const b of pads) {
          const access = bench.firstState([a, b], (state) => bench.circuit(state, []).resistanceOhm(a, b) >= openOhm);
          if (access === undefined) continue;
          touches.push({ what: 'apart', pads: [a, b], access, pressed: [] });
          return;
        }
      }
    });
  }
  return touches.slice(0, mostApart);
}

/** Supplies, cells and what is pulled up, at rest, against ground. */
function voltTouches({ guide }: LearnTable, bench: Bench): SittingTouch[] {
  const ground = guide.pads.find(({ node }) => node === guide.ground)?.id;
  const access = bench.states[0]!;
  if (ground === undefined || guide.rails.length === 0) return [];
  const live = solveCircuit(guide, { ...touchState({ access, pressed: [] }), power: 'on' });
  const seen = new Set<string>();
  return guide.pads
    .filter(
      ({ id, node }) =>
        node !== guide.ground && bench.reached(access).includes(id) && isFirst(seen, live.nodeVolt(node)),
    )
    .map(({ id }) => ({ what: 'volt', pads: [id, ground], access, pressed: [] }));
}

/** One touch for each voltage is enough to know it. */
function isFirst(seen: Set<string>, volt: number): boolean {
  const name = volt.toFixed(3);
  if (Math.abs(volt) < 0.05 || seen.has(name)) return false;
  seen.add(name);
  return true;
}
