import { siemensOf } from '../../guide/circuit/assembly.ts';
import { openOhm } from '../../guide/circuit/faults.ts';
import type { Fault, FaultMode, Limits } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { OhmSpan } from '../suspects/fault-cells.ts';
import { acrossLinks, commonMove, spreadFrom, spreadOf, spreadTerms, spreadWeights } from '../suspects/link-spread.ts';
import { type ChannelCell, scaleOf, sigmaOhm, sigmaVolt, voltTolerance } from '../suspects/scale.ts';
import type { CellSuspect } from '../suspects/suspects.ts';
import { type Cause, type OtherCause, otherValues } from '../suspects/unknown-causes.ts';
import type { Channel } from './channel.ts';
import { ChannelMoves, type Moved, mostExactLinks } from './channel-moves.ts';
import type { CircuitVariant } from './circuit-variant.ts';
import type { Circuits } from './model-circuits.ts';

/** On the scale: a fault that moves a channel by less than this is none to it. */
const leastMove = 3e-4;
/** Above this move, the spread is worked out for the changed circuit. */
const spreadMove = 0.05;

/** What one channel sees, suspect by suspect. */
export class ChannelLooker {
  readonly healthy: ChannelCell;
  readonly #rules: IsolationRules['prediction'];
  readonly #openFrom: number;
  readonly #moves: ChannelMoves;
  readonly #variant: CircuitVariant;
  readonly #isOhm: boolean;
  readonly #sd: number;
  /** Standard deviation that the common wear of contacts makes, in the channel's unit. */
  readonly #worn: number;
  readonly #weights: Float64Array;
  readonly #acrossLinks: Float64Array;
  readonly #terms = new Map<number, Float64Array>();
  readonly #tolerance: number;
  /** Where cells are written, five numbers each. */
  #into: Float32Array = new Float32Array(0);
  #matters = false;

  constructor(circuits: Circuits, channel: Channel, limits: Limits | null, rules: IsolationRules) {
    this.#rules = rules.prediction;
    this.#openFrom = scaleOf('ohm', rules.circuit.openFromOhm);
    this.#moves = new ChannelMoves(circuits, channel, rules);
    const { variant, port, isOhm, value } = this.#moves;
    this.#variant = variant;
    this.#isOhm = isOhm;
    this.#weights = spreadWeights(variant);
    this.#acrossLinks = acrossLinks(variant, port);
    const standing = isOhm ? this.#acrossLinks : standingDrops(variant);
    // what nothing joins reads alike whatever the links have; only leaks would say otherwise
    const isOpen = isOhm && value >= openOhm;
    this.#sd = isOpen ? 0 : spreadOf(this.#weights, this.#acrossLinks, standing);
    this.#worn = isOpen ? 0 : this.#rules.commonContactSigma * commonMove(variant, this.#acrossLinks, standing);
    this.#tolerance = isOhm ? 0 : voltTolerance(this.#rules, value, limits);
    const scaled = this.#scaled(value);
    const low = this.#isOhm && scaled > this.#openFrom ? this.#openFrom : scaled;
    this.healthy = { low, high: scaled, sigma: this.#sigma(value, this.#sd), unsteady: 0, alt: Number.NaN };
  }

  /**
   * Writes the cells of a suspect, five numbers each as in a channel table, and returns whether it
   * makes a difference; if not, what is written means nothing.
   */
  look({ link, faults, cells, cause }: CellSuspect, into: Float32Array): boolean {
    this.#into = into;
    this.#matters = false;
    if (cause !== undefined) this.#lookAtCause(cause, cells);
    else this.#lookAtFault(faults[0]!, link, cells);
    return this.#matters;
  }

  /** How many links the guide has. */
  get links(): number {
    return this.#weights.length;
  }

  /**
   * Writes what decides how the channel sees a fault that takes conductance off a link, as
   * `ChannelMoves.shape` does.
   */
  shape(link: number, into: Float32Array): boolean {
    return this.#moves.shape(link, into);
  }

  #lookAtFault(fault: Fault, link: number, cells: CellSuspect['cells']): void {
    const variant = this.#variant;
    const { level } = this.#moves.channel;
    const isClosing = fault.mode === 'stuck' || fault.mode === 'welded';
    if (isClosing && variant.changeOf(fault, link, level) === null) return;
    const isAdded =
      fault.mode === 'short' || ((isClosing || fault.mode === 'leaky') && variant.linkOhms[link]! >= openOhm);
    const opened = isAdded ? null : this.#moves.opened(link);
    // opening bounds what added ohms do, but not what lies across a link: a leak may conduct many
    // times as much
    const isBounded = fault.mode !== 'leaky';
    if (!isAdded && (opened === null || (isBounded && this.#move(opened.value) < leastMove))) return;
    switch (fault.mode) {
      case 'short':
      case 'leaky':
      case 'stuck':
      case 'welded':
        if (isClosing && opened !== null) this.#writeOne(cells.length, link, opened);
        else for (let c = 0; c < cells.length; c++) this.#writeChanged(c, fault, link, cells[c]!.ohm?.[level] ?? null);
        return;
      case 'open':
        this.#writeOne(cells.length, link, opened!);
        return;
      case 'intermittent': {
        const unsteady = this.#rules.unsteadyIntermittent * this.#notice(opened!.value, this.#moves.value);
        const { low, high, sigma } = this.healthy;
        const alt = this.#scaled(opened!.value);
        for (let c = 0; c < cells.length; c++) this.#put(c, low, high, sigma, unsteady, alt);
        return;
      }
      default:
        this.#writeRaised(fault.mode, link, cells);
    }
  }

  /** Ohms added to a link; where one cell ends the next begins. */
  #writeRaised(mode: FaultMode, link: number, cells: CellSuspect['cells']): void {
    const { level } = this.#moves.channel;
    const share = mode === 'weak' ? this.#rules.unsteadyWeak : mode === 'film' ? this.#rules.unsteadyFilm : 0;
    let atOhm = Number.NaN;
    let known: Moved | null = null;
    for (let c = 0; c < cells.length; c++) {
      const { lowOhm, highOhm } = cells[c]!.ohm![level];
      const low: Moved = known !== null && atOhm === lowOhm ? known : this.#moves.raised(link, lowOhm);
      const high = this.#moves.raised(link, highOhm);
      [atOhm, known] = [highOhm, high];
      let unsteady = 0;
      if (share > 0) {
        const middleOhm = Math.sqrt(lowOhm * highOhm);
        const wandered = this.#moves.raised(link, middleOhm * this.#rules.wanderFactor);
        unsteady = share * this.#notice(wandered.value, this.#moves.raised(link, middleOhm).value);
      }
      this.#write(c, link, low, high, unsteady);
    }
  }

  /** What something that the guide doesn't know makes of the channel, where the circuit tells. */
  #lookAtCause(cause: Cause, cells: CellSuspect['cells']): void {
    switch (cause.kind) {
      case 'any':
      case 'input':
        return;
      case 'short': {
        const [a, b] = [this.#variant.node(cause.a), this.#variant.node(cause.b)];
        cells.forEach(({ ohm }, c) => {
          const span = ohm![this.#moves.channel.level];
          const at = (own: number): Moved => this.#moves.added({ a, b, siemens: siemensOf(own), opens: -1 });
          this.#write(c, -1, at(span.lowOhm), at(span.highOhm), 0);
        });
        return;
      }
      case 'rail':
        if (!this.#isOhm && this.#moves.channel.finding.power === 'on') this.#writeElsewhere(cause, cells);
        return;
      case 'pad':
        if (!this.#moves.touches(cause.pad)) return;
        cells.forEach(({ ohm }, c) => {
          const { lowOhm, highOhm } = ohm![this.#moves.channel.level];
          this.#write(c, -1, this.#moves.covered(cause.pad, lowOhm), this.#moves.covered(cause.pad, highOhm), 0);
        });
        return;
      case 'values':
        this.#writeElsewhere(cause, cells);
    }
  }

  #writeElsewhere(cause: OtherCause, cells: CellSuspect['cells']): void {
    const at = (times: number): Moved => this.#moves.elsewhere(otherValues(this.#variant.guide, cause, times));
    cells.forEach(({ factor }, c) => {
      this.#write(c, -1, at(factor!.low), at(factor!.high), 0);
    });
  }

  #writeChanged(c: number, fault: Fault, link: number, span: OhmSpan | null): void {
    const at = (ohm: number | undefined): Moved => {
      const own = ohm === undefined ? fault : { ...fault, ohm };
      const change = this.#variant.changeOf(own, link, this.#moves.channel.level);
      return change === null ? { value: this.#moves.value, factor: 0 } : this.#moves.added(change);
    };
    const low = at(span?.lowOhm);
    this.#write(c, link, low, span === null ? low : at(span.highOhm), 0, fault.node);
  }

  #writeOne(count: number, link: number, moved: Moved): void {
    for (let c = 0; c < count; c++) this.#write(c, link, moved, moved, 0);
  }

  /**
   * Writes a cell between two values; what nothing joins begins at the end of the probe's range.
   */
  #write(c: number, link: number, low: Moved, high: Moved, unsteady: number, node?: string): void {
    const [one, other] = [this.#scaled(low.value), this.#scaled(high.value)];
    const lower = Math.min(one, other);
    const sd = this.#spreadAfter(link, low, node);
    const sigma = Math.max(this.#sigma(low.value, sd), this.#sigma(high.value, sd));
    const wander = unsteady * (this.#isOhm ? this.#rules.wanderOhmScale : this.#rules.wanderVolt);
    this.#put(
      c,
      this.#isOhm && lower > this.#openFrom ? this.#openFrom : lower,
      Math.max(one, other),
      wander === 0 ? sigma : Math.hypot(sigma, wander),
      unsteady,
      Number.NaN,
    );
  }

  #put(c: number, low: number, high: number, sigma: number, unsteady: number, alt: number): void {
    this.#matters ||=
      Math.abs(low - this.healthy.low) >= leastMove ||
      Math.abs(high - this.healthy.high) >= leastMove ||
      unsteady > 1e-3;
    const at = c * 5;
    this.#into[at] = low;
    this.#into[at + 1] = high;
    this.#into[at + 2] = sigma;
    this.#into[at + 3] = unsteady;
    this.#into[at + 4] = alt;
  }

  #scaled(value: number): number {
    return scaleOf(this.#moves.channel.quantity, value);
  }

  #move(value: number): number {
    return Math.abs(this.#scaled(value) - this.#scaled(this.#moves.value));
  }

  #notice(one: number, other: number): number {
    const move = Math.abs(this.#scaled(one) - this.#scaled(other));
    const { noticedOhmScale, noticedVoltShare } = this.#rules;
    const noticed = this.#isOhm ? noticedOhmScale : noticedVoltShare * Math.max(0.2, Math.abs(this.#moves.value));
    return Math.min(1, move / noticed);
  }

  /** Worn contacts move a changed path no more than they could if it were all contacts. */
  #wornAt(value: number): number {
    return this.#isOhm ? Math.min(this.#worn, this.#rules.commonContactSigma * value) : this.#worn;
  }

  #sigma(value: number, ownSd: number): number {
    const worn = this.#worn === 0 ? 0 : this.#wornAt(value);
    const sd = worn === 0 ? ownSd : Math.sqrt(ownSd * ownSd + worn * worn);
    return this.#isOhm
      ? sigmaOhm(this.#rules, value, sd)
      : sigmaVolt(this.#rules, value, this.#moves.value, sd, this.#tolerance);
  }

  #spreadAfter(link: number, { value, factor }: Moved, node: string | undefined): number {
    if (!this.#isOhm || link === -1 || factor === 0 || value >= openOhm || this.#move(value) < spreadMove)
      return this.#sd;
    const variant = this.#variant;
    const u = variant.linkFrom[link]!;
    const v = node === undefined ? variant.linkTo[link]! : variant.node(node);
    const isOwn = node === undefined && variant.linkOhms[link]! < openOhm;
    // there a way round that a fault leaves is taken to spread, relatively, as the healthy path
    // does
    if (isOwn && this.#weights.length > mostExactLinks) return (this.#sd * value) / this.#moves.value;
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
