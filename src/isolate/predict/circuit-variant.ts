import { type Assembly, assembleCircuit, siemensOf } from '../../guide/circuit/assembly.ts';
import { type LinkOhmNow, linkOhmIn } from '../../guide/circuit/circuit-state.ts';
import { openOhm, shortOhm } from '../../guide/circuit/faults.ts';
import { FactoredNetwork } from '../../guide/circuit/laplacian.ts';
import type { Fault, Guide, Level, Power } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { OtherValues } from '../suspects/unknown-causes.ts';
import { type CutEdges, cutEdges } from './cut-edges.ts';

/** How a check finds the device, but for its faults. */
export interface Finding {
  power: Power;
  pressed: string[];
  access: string | undefined;
  /** The probe's closure between two pads. */
  closure?: { pads: [string, string]; ohm: number };
  /** What the device has in place of the guide's values. */
  other?: OtherValues;
}

/** One element whose conductance a fault changes, between two nodes by number. */
export interface Change {
  a: number;
  b: number;
  siemens: number;
  /** The link that it opens, by number; -1: it opens none. */
  opens: number;
}

/** The nodes on one side of an opened link. */
export interface Side {
  has(node: number): boolean;
  size: number;
}

/**
 * A pair of nodes with the voltages, over the reference, that 1 A from the first to the second
 * makes at every node.
 */
export interface Port {
  a: number;
  b: number;
  volts: Float64Array;
}

/**
 * The healthy device as one way of measuring finds it, factored once; whatever a fault changes is
 * worked out from this.
 *
 * Nodes are numbered in the guide's order without the ground, which comes last and is the
 * reference.
 */
export class CircuitVariant {
  readonly guide: Guide;
  readonly ground: number;
  readonly linkOhms: Float64Array;
  readonly linkFrom: Int32Array;
  readonly linkTo: Int32Array;
  readonly cuts: CutEdges;
  readonly leakSiemens: number;
  readonly #assembly: Assembly;
  readonly #ohmNow: LinkOhmNow;
  readonly #network: FactoredNetwork;
  readonly #ports = new Map<number, Port>();
  readonly #across = new Map<number, number>();
  readonly #acrossLink: Float64Array;
  readonly #farSides = new Map<number, Side | null>();
  readonly #standing: Float64Array;

  constructor(guide: Guide, { power, pressed, access, closure, other = {} }: Finding, { circuit }: IsolationRules) {
    this.guide = guide;
    const bridge = closure && { padA: closure.pads[0], padB: closure.pads[1], ohm: closure.ohm };
    const state = { power, pressed, access, ...other, faults: [], level: 'normal' as const };
    this.#assembly = assembleCircuit(guide, bridge === undefined ? state : { ...state, bridge });
    const { reference, linkOhms, linkFrom, linkTo, elements, injected } = this.#assembly;
    this.ground = reference;
    this.linkOhms = linkOhms;
    this.linkFrom = linkFrom;
    this.linkTo = linkTo;
    this.#ohmNow = linkOhmIn(guide, state);
    this.leakSiemens = circuit.leakSiemens / (circuit.isLeakShared ? Math.max(1, reference) : 1);
    this.#network = new FactoredNetwork(reference, elements, this.leakSiemens);
    this.cuts = cutEdges(reference + 1, elements);
    this.#acrossLink = new Float64Array(linkOhms.length).fill(Number.NaN);
    this.#standing = this.#network.voltages(injected);
  }

  /** Returns the number of a node or pad of the guide; -1 for a name that it doesn't have. */
  node(padOrNode: string): number {
    return this.#assembly.node(padOrNode);
  }

  /** Returns the standing voltage at a node; 0 at the reference. */
  volt(node: number): number {
    return node < this.ground ? this.#standing[node]! : 0;
  }

  /** Returns what a current between two nodes does; kept, for the pairs that checks ask about. */
  port(a: number, b: number): Port {
    const key = a * (this.ground + 1) + b;
    const known = this.#ports.get(key);
    if (known !== undefined) return known;
    const port = this.#passing(a, b);
    this.#ports.set(key, port);
    return port;
  }

  #passing(a: number, b: number): Port {
    const current = new Float64Array(this.ground);
    if (a !== b && a < this.ground) current[a] = 1;
    if (a !== b && b < this.ground) current[b] = -1;
    return { a, b, volts: this.#network.voltages(current) };
  }

  /** Returns the healthy resistance between two nodes, in ohm; not kept. */
  ohmBetween(a: number, b: number): number {
    return this.#network.ohmBetween(a, b);
  }

  /** Returns the healthy resistance between two nodes, in ohm; worked out once. */
  ohmAcross(a: number, b: number): number {
    const key = a * (this.ground + 1) + b;
    let ohm = this.#across.get(key);
    if (ohm === undefined) {
      ohm = transferOhm(this.#passing(a, b), a, b, this.ground);
      this.#across.set(key, ohm);
    }
    return ohm;
  }

  /** Returns the healthy resistance between the ends of a link, in ohm; worked out once. */
  ohmAcrossLink(link: number): number {
    const known = this.#acrossLink[link]!;
    if (!Number.isNaN(known)) return known;
    const ohm = this.ohmAcross(this.linkFrom[link]!, this.linkTo[link]!);
    this.#acrossLink[link] = ohm;
    return ohm;
  }

  /**
   * Returns what the opening of a link parts; null when current finds another way, or the link does
   * not conduct anyway.
   */
  farSide(link: number): Side | null {
    let side = this.#farSides.get(link);
    if (side === undefined) {
      const edge = this.#assembly.elementOfLink[link]!;
      side = edge === -1 ? null : this.cuts.far(edge);
      this.#farSides.set(link, side);
    }
    return side;
  }

  /** Returns what a fault changes here; null: nothing. */
  changeOf(fault: Fault, link: number, level: Level): Change | null {
    const [a, b] = [this.linkFrom[link]!, this.linkTo[link]!];
    if (fault.mode === 'short') {
      const node = fault.node === undefined ? -1 : this.node(fault.node);
      return node === -1 || node === a ? null : { a, b: node, siemens: siemensOf(fault.ohm ?? shortOhm), opens: -1 };
    }
    const [healthy, faulty] = [this.linkOhms[link]!, this.#ohmNow(this.guide.links[link]!, [fault], level)];
    if (healthy === faulty || a === b) return null;
    const siemens = (faulty < openOhm ? siemensOf(faulty) : 0) - (healthy < openOhm ? siemensOf(healthy) : 0);
    return { a, b, siemens, opens: faulty >= openOhm ? link : -1 };
  }

  /**
   * Returns whether two nodes are joined once these changes are made, by following the links where
   * knowing the cut edges isn't enough.
   */
  areJoined(a: number, b: number, changes: readonly Change[]): boolean {
    if (!this.mayPart(changes) && !changes.some(({ siemens }) => siemens > 0)) {
      return this.cuts.island[a] === this.cuts.island[b];
    }
    const only = changes.length === 1 ? changes[0]! : null;
    const far = only === null || only.opens === -1 ? null : this.farSide(only.opens);
    if (far !== null) return this.cuts.island[a] === this.cuts.island[b] && far.has(a) === far.has(b);
    const { island } = this.#cutsAfter(changes);
    return island[a] === island[b];
  }

  /** Returns whether the changes can part anything: they open a cut edge, or more than one link. */
  mayPart(changes: readonly Change[]): boolean {
    const opened = changes.filter(({ opens }) => opens !== -1);
    return opened.length > 1 || opened.some(({ opens }) => this.farSide(opens) !== null);
  }

  /**
   * Returns the two sides of an opening once these changes are made, the side of its first node
   * first; null when they are joined yet.
   */
  sidesAfter({ a, b }: Change, changes: readonly Change[]): { near: Side; far: Side } | null {
    const { island, islandSize } = this.#cutsAfter(changes);
    if (island[a] === island[b]) return null;
    const sideOf = (node: number): Side => ({
      has: (other) => island[other] === island[node],
      size: islandSize[island[node]!]!,
    });
    return { near: sideOf(a), far: sideOf(b) };
  }

  #cutsAfter(changes: readonly Change[]): CutEdges {
    const dead = new Set(changes.flatMap(({ opens }) => (opens === -1 ? [] : [this.#assembly.elementOfLink[opens]!])));
    const added = changes.filter(({ siemens }) => siemens > 0).map(({ a: from, b: to }) => ({ from, to }));
    return cutEdges(this.ground + 1, [...this.#assembly.elements.filter((_, k) => !dead.has(k)), ...added]);
  }
}

/**
 * Returns the voltage between two nodes that a port's ampere makes: a transfer resistance, in ohm.
 */
export function transferOhm({ volts }: Port, a: number, b: number, ground: number): number {
  return (a < ground ? volts[a]! : 0) - (b < ground ? volts[b]! : 0);
}
