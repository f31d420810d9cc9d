import { leastOhm } from '../../guide/circuit/assembly.ts';
import { openOhm } from '../../guide/circuit/faults.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { Channel } from './channel.ts';
import type { Change, CircuitVariant, Finding, Port } from './circuit-variant.ts';
import type { Circuits } from './model-circuits.ts';
import { channelNodes, healthyReading, metered, predictChannel } from './predict-fast.ts';

/**
 * In guides with more links than this, links of one path are taken to act alike, to seven digits.
 */
export const mostExactLinks = 300;

/** One value with the transfer that made it: what a change does to a channel. */
export interface Moved {
  value: number;
  /** Of the change's own voltages, which come off the healthy transfers; 0: those hold. */
  factor: number;
}

/**
 * What changes of the circuit do to one channel, in a few multiplications each: scalar forms of the
 * rank-one update for single faults.
 */
export class ChannelMoves {
  readonly channel: Channel;
  readonly variant: CircuitVariant;
  readonly port: Port;
  readonly isOhm: boolean;
  /** What the channel reads of a healthy device, in its unit. */
  readonly value: number;
  readonly #circuits: Circuits;
  readonly #nodes: [number, number];
  readonly #rawOhm: number;
  readonly #openVolt: number;
  /** What lies behind a voltage at most; the first rules let the leaks say more. */
  readonly #mostOhm: number;
  /** In large guides; the first rules are as they were. */
  readonly #isShaped: boolean;

  constructor(circuits: Circuits, channel: Channel, { circuit }: IsolationRules) {
    this.#circuits = circuits;
    this.channel = channel;
    this.variant = circuits(channel.finding);
    this.#nodes = channelNodes(this.variant, channel);
    const [a, b] = this.#nodes;
    this.port = this.variant.port(a, b);
    this.isOhm = channel.quantity === 'ohm';
    this.value = predictChannel(circuits, channel, []);
    this.#rawOhm = this.#across(a, b);
    this.#mostOhm = circuit.isLeakShared ? openOhm : Number.POSITIVE_INFINITY;
    this.#isShaped = circuit.isLeakShared && this.variant.linkOhms.length > mostExactLinks;
    this.#openVolt = this.variant.volt(a) - this.variant.volt(b);
  }

  /** The link opened; null where it carries nothing here. */
  opened(link: number): Moved | null {
    const variant = this.variant;
    const ohm = variant.linkOhms[link]!;
    if (ohm >= openOhm || (this.isOhm && this.value >= openOhm)) return null;
    const transfer = this.#across(variant.linkFrom[link]!, variant.linkTo[link]!);
    if (Math.abs(transfer) < 1e-7 * ohm) return null;
    const far = variant.farSide(link);
    if (far === null) {
      return this.#isShaped ? this.#shaped(link, Number.POSITIVE_INFINITY) : this.#updated(link, -1 / ohm, transfer);
    }
    const [a, b] = this.#nodes;
    if (this.isOhm) return { value: far.has(a) === far.has(b) ? this.value : openOhm, factor: 0 };
    const isParted = (node: number): boolean => far.has(node) !== far.has(variant.ground);
    const volt = (isParted(a) ? 0 : variant.volt(a)) - (isParted(b) ? 0 : variant.volt(b));
    return { value: metered(this.channel, volt, isParted(a) === isParted(b) ? this.#rawOhm : openOhm), factor: 0 };
  }

  /**
   * Writes what decides what added ohms x on a link do, but for x: with i and j the currents
   * through it, of the port and standing, a channel moves by x i^2 / (1 + x g) ohm and x i j / (1 +
   * x g) volt. Links with the same four numbers move it alike. Returns false where they do not
   * decide.
   */
  shape(link: number, into: Float32Array): boolean {
    const { linkOhms, ground } = this.variant;
    const ohm = linkOhms[link]!;
    if (!this.#isShaped || ohm <= leastOhm) return false;
    into.fill(0);
    if (ohm >= openOhm || Math.abs(this.#current(link)) < 1e-7) return true;
    const far = this.variant.farSide(link);
    const [a, b] = this.#nodes;
    into[0] = far === null ? 1 : 2 + Number(far.has(a)) + 2 * Number(far.has(b)) + 4 * Number(far.has(ground));
    const { square, both, give } = this.#shapeOf(link);
    [into[1], into[2], into[3]] = [square, this.isOhm ? 0 : both, this.isOhm && far !== null ? 0 : give];
    return true;
  }

  #current(link: number): number {
    const { linkFrom, linkTo, linkOhms } = this.variant;
    return this.#across(linkFrom[link]!, linkTo[link]!) / linkOhms[link]!;
  }

  /** i^2, i j and g of a link, in single precision: so that the links of one path have the same. */
  #shapeOf(link: number): { square: number; both: number; give: number } {
    const { linkFrom, linkTo, linkOhms } = this.variant;
    const ohm = linkOhms[link]!;
    const current = this.#current(link);
    const standing = (this.variant.volt(linkFrom[link]!) - this.variant.volt(linkTo[link]!)) / ohm;
    return {
      square: Math.fround(current ** 2),
      both: Math.fround(current * standing),
      give: Math.fround((1 - this.variant.ohmAcrossLink(link) / ohm) / ohm),
    };
  }

  /** The same as an update, by the shape of the link. */
  #shaped(link: number, addedOhm: number): Moved {
    const { square, both, give } = this.#shapeOf(link);
    const times = 1 / Math.max(1e-13, 1 / addedOhm + give);
    const factor = (-times * this.#current(link)) / this.variant.linkOhms[link]!;
    const ohm = Math.max(0, Math.min(openOhm, this.#rawOhm + times * square));
    if (this.isOhm) return { value: ohm, factor };
    const value = metered(this.channel, this.#openVolt + times * both, Math.min(this.#mostOhm, ohm));
    return { value, factor };
  }

  /** Ohms added to the link. */
  raised(link: number, addedOhm: number): Moved {
    const variant = this.variant;
    const ohm = Math.max(leastOhm, variant.linkOhms[link]!);
    const transfer = this.#across(variant.linkFrom[link]!, variant.linkTo[link]!);
    if (this.isOhm && variant.farSide(link) !== null) {
      const square = (transfer / ohm) ** 2;
      return {
        value: Math.min(openOhm, this.value + addedOhm * (this.#isShaped ? Math.fround(square) : square)),
        factor: 0,
      };
    }
    if (this.#isShaped && ohm > leastOhm) return this.#shaped(link, addedOhm);
    return this.#updated(link, 1 / (ohm + addedOhm) - 1 / ohm, transfer);
  }

  /** An element added or changed between any two nodes. */
  added({ a: u, b: v, siemens }: Change): Moved {
    const { island } = this.variant.cuts;
    const [a, b] = this.#nodes;
    if (this.isOhm && island[a] !== island[b]) {
      const joins =
        (island[u] === island[a] && island[v] === island[b]) || (island[u] === island[b] && island[v] === island[a]);
      if (!joins) return { value: openOhm, factor: 0 };
    }
    return this.#changed(u, v, siemens, this.#across(u, v), this.variant.ohmAcross(u, v));
  }

  /** Other values than the guide's. */
  elsewhere(other: NonNullable<Finding['other']>): Moved {
    const channel = { ...this.channel, finding: { ...this.channel.finding, other } };
    return { value: healthyReading(this.#circuits, channel), factor: 0 };
  }

  /** Returns whether a tip, or an end of the probe's closure, is on a pad. */
  touches(pad: string): boolean {
    const { between, finding } = this.channel;
    // an input is seen by the device itself, whatever its node is called
    return (between[1] !== null && between.includes(pad)) || finding.closure?.pads.includes(pad) === true;
  }

  /**
   * Ohms between a pad and what is on it: in series with what a tip reads, and with the probe's
   * closure.
   */
  covered(pad: string, ohm: number): Moved {
    const { finding } = this.channel;
    const { closure } = finding;
    if (closure?.pads.includes(pad) === true) {
      const channel = { ...this.channel, finding: { ...finding, closure: { ...closure, ohm: closure.ohm + ohm } } };
      return { value: predictChannel(this.#circuits, channel, []), factor: 0 };
    }
    if (this.isOhm) return { value: Math.min(openOhm, this.value + ohm), factor: 0 };
    return { value: metered(this.channel, this.#openVolt, Math.min(this.#mostOhm, this.#rawOhm + ohm)), factor: 0 };
  }

  #updated(link: number, siemens: number, transfer: number): Moved {
    const { linkFrom, linkTo } = this.variant;
    return this.#changed(linkFrom[link]!, linkTo[link]!, siemens, transfer, this.variant.ohmAcrossLink(link));
  }

  #changed(u: number, v: number, siemens: number, transfer: number, ohmAcross: number): Moved {
    const factor = (siemens * transfer) / Math.max(1e-13, 1 + siemens * ohmAcross);
    const ohm = this.#rawOhm - factor * transfer;
    if (this.isOhm) return { value: Math.max(0, Math.min(openOhm, ohm)), factor };
    const volt = this.#openVolt - factor * (this.variant.volt(u) - this.variant.volt(v));
    return { value: metered(this.channel, volt, Math.min(this.#mostOhm, Math.max(0, ohm))), factor };
  }

  #across(a: number, b: number): number {
    const { ground } = this.variant;
    const { volts } = this.port;
    return (a < ground ? volts[a]! : 0) - (b < ground ? volts[b]! : 0);
  }
}
