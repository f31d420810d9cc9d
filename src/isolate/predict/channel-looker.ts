import { leastOhm, siemensOf } from '../../guide/circuit/assembly.ts';
import { openOhm } from '../../guide/circuit/faults.ts';
import type { FaultMode, Limits } from '../../guide/types.ts';
import type { IsolationRules } from '../rules.ts';
import type { OhmSpan } from '../suspects/fault-cells.ts';
import { acrossLinks, commonMove, spreadFrom, spreadOf, spreadTerms, spreadWeights } from '../suspects/link-spread.ts';
import { type ChannelCell, scaleOf, sigmaOhm, sigmaVolt, voltTolerance } from '../suspects/scale.ts';
import type { CellSuspect } from '../suspects/suspects.ts';
import type { Cause } from '../suspects/unknown-causes.ts';
import type { Channel } from './channels.ts';
import type { Change, CircuitVariant, Port } from './circuit-variant.ts';
import type { Circuits } from './model-circuits.ts';
import { channelNodes, metered, predictChannel } from './predict-fast.ts';

/** On the scale: a fault that moves a channel by less than this is none to it. */
const leastMove = 3e-4;
/** Above this move, the spread is worked out for the changed circuit. */
const spreadMove = 0.05;
/** In guides with more links than this, a way round that a fault leaves is taken to spread, relatively, as the healthy path does. */
const mostExactLinks = 300;

/** One value with the transfer that made it: what a change does to a channel. */
interface Moved {
  value: number;
  /** Of the change's own voltages, which come off the healthy transfers; 0: those hold. */
  factor: number;
}

/** What one channel sees, suspect by suspect, in a few multiplications each: scalar forms of the rank-one update for single faults. */
export class ChannelLooker {
  readonly healthy: ChannelCell;
  readonly #rules: IsolationRules['prediction'];
  readonly #circuits: Circuits;
  readonly #openFrom: number;
  readonly #channel: Channel;
  readonly #variant: CircuitVariant;
  readonly #port: Port;
  readonly #nodes: [number, number];
  readonly #value: number;
  readonly #rawOhm: number;
  readonly #openVolt: number;
  /** What lies behind a voltage at most; the first rules let the leaks say more. */
  readonly #mostOhm: number;
  readonly #isOhm: boolean;
  readonly #sd: number;
  /** Standard deviation that the common wear of contacts makes, in the channel's unit. */
  readonly #worn: number;
  readonly #weights: Float64Array;
  readonly #acrossLinks: Float64Array;
  readonly #terms = new Map<number, Float64Array>();
  readonly #tolerance: number;

  constructor(circuits: Circuits, channel: Channel, limits: Limits | null, rules: IsolationRules) {
    this.#rules = rules.prediction;
    this.#circuits = circuits;
    this.#openFrom = scaleOf('ohm', rules.circuit.openFromOhm);
    this.#channel = channel;
    this.#variant = circuits(channel.finding);
    this.#nodes = channelNodes(this.#variant, channel);
    this.#port = this.#variant.port(...this.#nodes);
    this.#isOhm = channel.quantity === 'ohm';
    this.#value = predictChannel(circuits, channel, []);
    this.#rawOhm = this.#across(this.#port, ...this.#nodes);
    this.#mostOhm = rules.circuit.isLeakShared ? openOhm : Number.POSITIVE_INFINITY;
    const [a, b] = this.#nodes;
    this.#openVolt = this.#variant.volt(a) - this.#variant.volt(b);
    this.#weights = spreadWeights(this.#variant);
    this.#acrossLinks = acrossLinks(this.#variant, this.#port);
    const standing = this.#isOhm ? this.#acrossLinks : standingDrops(this.#variant);
    // what nothing joins reads alike whatever the links have; only leaks would say otherwise
    const isOpen = this.#isOhm && this.#value >= openOhm;
    this.#sd = isOpen ? 0 : spreadOf(this.#weights, this.#acrossLinks, standing);
    this.#worn = isOpen ? 0 : this.#rules.commonContactSigma * commonMove(this.#variant, this.#acrossLinks, standing);
    this.#tolerance = this.#isOhm ? 0 : voltTolerance(this.#rules, this.#value, limits);
    const [low, high] = this.#ends(this.#value, this.#value);
    this.healthy = { low, high, sigma: this.#sigma(this.#value, this.#sd), unsteady: 0, alt: Number.NaN };
  }

  /** Returns the cells of a suspect; null where it makes no difference. */
  cellsOf({ link, faults, cells, cause }: CellSuspect): ChannelCell[] | null {
    if (cause !== undefined) return this.#mattering(this.#causeCells(cause, cells));
    const fault = faults[0]!;
    const variant = this.#variant;
    if (
      (fault.mode === 'stuck' || fault.mode === 'welded') &&
      variant.changeOf(fault, link, this.#channel.level) === null
    )
      return null;
    const isAdded =
      fault.mode === 'short' ||
      ((fault.mode === 'stuck' || fault.mode === 'welded' || fault.mode === 'leaky') &&
        variant.linkOhms[link]! >= openOhm);
    const opened = isAdded ? null : this.#opened(link);
    // opening bounds what added ohms do, but not what lies across a link: a leak may conduct many times as much
    const isBounded = fault.mode !== 'leaky';
    if (!isAdded && (opened === null || (isBounded && this.#move(opened.value) < leastMove))) return null;
    const made = cells.map(({ ohm }): ChannelCell => {
      const span = ohm?.[this.#channel.level] ?? null;
      switch (fault.mode) {
        case 'short':
        case 'stuck':
        case 'welded':
          if (opened !== null) return this.#cell(link, opened, opened, 0);
          return this.#changed(fault, link, span);
        case 'leaky':
          return this.#changed(fault, link, span);
        case 'open':
          return this.#cell(link, opened!, opened!, 0);
        case 'intermittent': {
          const unsteady = this.#rules.unsteadyIntermittent * this.#notice(opened!.value, this.#value);
          return { ...this.healthy, unsteady, alt: scaleOf(this.#channel.quantity, opened!.value) };
        }
        default: {
          const [low, high] = [this.#raised(link, span!.lowOhm), this.#raised(link, span!.highOhm)];
          const middleOhm = Math.sqrt(span!.lowOhm * span!.highOhm);
          const [middle, wandered] = [
            this.#raised(link, middleOhm),
            this.#raised(link, middleOhm * this.#rules.wanderFactor),
          ];
          return this.#cell(link, low, high, this.#unsteadyOf(fault.mode) * this.#notice(wandered.value, middle.value));
        }
      }
    });
    return this.#mattering(made);
  }

  #mattering(made: ChannelCell[] | null): ChannelCell[] | null {
    if (made === null) return null;
    const matters = made.some(
      (cell) =>
        Math.abs(cell.low - this.healthy.low) >= leastMove ||
        Math.abs(cell.high - this.healthy.high) >= leastMove ||
        cell.unsteady > 1e-3,
    );
    return matters ? made : null;
  }

  /** Two ends on the scale, the lower first; what nothing joins begins at the end of the probe's range. */
  #ends(one: number, other: number): [number, number] {
    const [a, b] = [scaleOf(this.#channel.quantity, one), scaleOf(this.#channel.quantity, other)];
    const [low, high] = a < b ? [a, b] : [b, a];
    return [this.#isOhm && low > this.#openFrom ? this.#openFrom : low, high];
  }

  /** What something that the guide doesn't know makes of the channel; null: nothing, or nothing that the circuit tells. */
  #causeCells(cause: Cause, cells: CellSuspect['cells']): ChannelCell[] | null {
    const cell = (low: Moved, high: Moved): ChannelCell => this.#cell(-1, low, high, 0);
    switch (cause.kind) {
      case 'any':
      case 'input':
        return null;
      case 'short': {
        const [a, b] = [this.#variant.node(cause.a), this.#variant.node(cause.b)];
        return cells.map(({ ohm }) => {
          const span = ohm![this.#channel.level];
          const at = (own: number): Moved => this.#added({ a, b, siemens: siemensOf(own), opens: -1 });
          return cell(at(span.lowOhm), at(span.highOhm));
        });
      }
      case 'rail':
        if (this.#isOhm || this.#channel.finding.power === 'off') return null;
        return cells.map(({ factor }) => {
          const { volt } = this.#variant.guide.rails.find(({ id }) => id === cause.rail)!;
          const at = (times: number): Moved => this.#elsewhere({ railVolt: { [cause.rail]: times * volt } });
          return cell(at(factor!.low), at(factor!.high));
        });
      case 'values':
        return cells.map(({ factor }) => {
          const at = (times: number): Moved => {
            const those = this.#variant.guide.links.filter(({ kind }) => cause.of.includes(kind));
            return this.#elsewhere({ linkOhm: Object.fromEntries(those.map(({ id, ohm }) => [id, times * ohm])) });
          };
          return cell(at(factor!.low), at(factor!.high));
        });
    }
  }

  #elsewhere(other: NonNullable<Channel['finding']['other']>): Moved {
    const channel = { ...this.#channel, finding: { ...this.#channel.finding, other } };
    return { value: predictChannel(this.#circuits, channel, []), factor: 0 };
  }

  #changed(fault: CellSuspect['faults'][0], link: number, span: OhmSpan | null): ChannelCell {
    const at = (ohm: number | undefined): Moved => {
      const change = this.#variant.changeOf(ohm === undefined ? fault : { ...fault, ohm }, link, this.#channel.level);
      return change === null ? { value: this.#value, factor: 0 } : this.#added(change);
    };
    const low = at(span?.lowOhm);
    return this.#cell(link, low, span === null ? low : at(span.highOhm), 0, fault.node);
  }

  #cell(link: number, low: Moved, high: Moved, unsteady: number, node?: string): ChannelCell {
    const sd = this.#spreadAfter(link, low, node);
    const ends = this.#ends(low.value, high.value);
    const sigma = Math.max(this.#sigma(low.value, sd), this.#sigma(high.value, sd));
    const wander = this.#isOhm ? this.#rules.wanderOhmScale : this.#rules.wanderVolt;
    return { low: ends[0], high: ends[1], sigma: Math.hypot(sigma, wander * unsteady), unsteady, alt: Number.NaN };
  }

  /** The link opened; null where it carries nothing here. */
  #opened(link: number): Moved | null {
    const variant = this.#variant;
    const ohm = variant.linkOhms[link]!;
    if (ohm >= openOhm || (this.#isOhm && this.#value >= openOhm)) return null;
    const [u, v] = [variant.linkFrom[link]!, variant.linkTo[link]!];
    const transfer = this.#across(this.#port, u, v);
    if (Math.abs(transfer) < 1e-7 * ohm) return null;
    const far = variant.farSide(link);
    if (far === null) return this.#updated(u, v, -1 / ohm, transfer);
    const [a, b] = this.#nodes;
    if (this.#isOhm) return { value: far.has(a) === far.has(b) ? this.#value : openOhm, factor: 0 };
    const isParted = (node: number): boolean => far.has(node) !== far.has(variant.ground);
    const volt = (isParted(a) ? 0 : variant.volt(a)) - (isParted(b) ? 0 : variant.volt(b));
    return { value: metered(this.#channel, volt, isParted(a) === isParted(b) ? this.#rawOhm : openOhm), factor: 0 };
  }

  /** Ohms added to the link. */
  #raised(link: number, addedOhm: number): Moved {
    const variant = this.#variant;
    const ohm = Math.max(leastOhm, variant.linkOhms[link]!);
    const [u, v] = [variant.linkFrom[link]!, variant.linkTo[link]!];
    const transfer = this.#across(this.#port, u, v);
    if (variant.farSide(link) !== null && this.#isOhm) {
      return { value: Math.min(openOhm, this.#value + addedOhm * (transfer / ohm) ** 2), factor: 0 };
    }
    return this.#updated(u, v, 1 / (ohm + addedOhm) - 1 / ohm, transfer);
  }

  #added({ a: u, b: v, siemens }: Change): Moved {
    const { island } = this.#variant.cuts;
    const [a, b] = this.#nodes;
    if (this.#isOhm && island[a] !== island[b]) {
      const joins =
        (island[u] === island[a] && island[v] === island[b]) || (island[u] === island[b] && island[v] === island[a]);
      if (!joins) return { value: openOhm, factor: 0 };
    }
    return this.#updated(u, v, siemens, this.#across(this.#port, u, v));
  }

  #updated(u: number, v: number, siemens: number, transfer: number): Moved {
    const left = Math.max(1e-13, 1 + siemens * this.#variant.ohmAcross(u, v));
    const factor = (siemens * transfer) / left;
    if (this.#isOhm) return { value: Math.max(0, Math.min(openOhm, this.#rawOhm - factor * transfer)), factor };
    const volt = this.#openVolt - factor * (this.#variant.volt(u) - this.#variant.volt(v));
    const ohm = Math.min(this.#mostOhm, Math.max(0, this.#rawOhm - factor * transfer));
    return { value: metered(this.#channel, volt, ohm), factor };
  }

  #across({ volts }: Port, a: number, b: number): number {
    const ground = this.#variant.ground;
    return (a < ground ? volts[a]! : 0) - (b < ground ? volts[b]! : 0);
  }

  #move(value: number): number {
    return Math.abs(scaleOf(this.#channel.quantity, value) - scaleOf(this.#channel.quantity, this.#value));
  }

  #notice(one: number, other: number): number {
    const { quantity } = this.#channel;
    const move = Math.abs(scaleOf(quantity, one) - scaleOf(quantity, other));
    return Math.min(
      1,
      move /
        (this.#isOhm
          ? this.#rules.noticedOhmScale
          : this.#rules.noticedVoltShare * Math.max(0.2, Math.abs(this.#value))),
    );
  }

  /** Worn contacts move a changed path no more than they could if it were all contacts. */
  #wornAt(value: number): number {
    return this.#isOhm ? Math.min(this.#worn, this.#rules.commonContactSigma * value) : this.#worn;
  }

  #unsteadyOf(mode: FaultMode): number {
    return mode === 'weak' ? this.#rules.unsteadyWeak : mode === 'film' ? this.#rules.unsteadyFilm : 0;
  }

  #sigma(value: number, ownSd: number): number {
    const sd = this.#worn === 0 ? ownSd : Math.hypot(ownSd, this.#wornAt(value));
    return this.#isOhm
      ? sigmaOhm(this.#rules, value, sd)
      : sigmaVolt(this.#rules, value, this.#value, sd, this.#tolerance);
  }

  #spreadAfter(link: number, { value, factor }: Moved, node: string | undefined): number {
    if (!this.#isOhm || link === -1 || factor === 0 || value >= openOhm || this.#move(value) < spreadMove)
      return this.#sd;
    const variant = this.#variant;
    const u = variant.linkFrom[link]!;
    const v = node === undefined ? variant.linkTo[link]! : variant.node(node);
    const isOwn = node === undefined && variant.linkOhms[link]! < openOhm;
    if (isOwn && this.#weights.length > mostExactLinks) return (this.#sd * value) / this.#value;
    let terms = isOwn ? this.#terms.get(link) : undefined;
    if (terms === undefined) {
      const along = acrossLinks(variant, variant.port(u, v));
      terms = spreadTerms(this.#weights, this.#acrossLinks, along, isOwn ? link : -1);
      if (isOwn) this.#terms.set(link, terms);
    }
    if (isOwn || node !== undefined) return spreadFrom(terms, factor);
    // a switch that the fault closed: its own spread comes in, d R / d ln r = (f r)^2 / r
    const { ohm, spread } = variant.guide.links[link]!;
    return Math.hypot(spreadFrom(terms, factor), factor ** 2 * ohm * spread);
  }
}

function standingDrops(variant: CircuitVariant): Float64Array {
  return Float64Array.from(variant.linkFrom, (from, k) => variant.volt(from) - variant.volt(variant.linkTo[k]!));
}
