import type { Check, Guide } from '../../../src/guide/types.ts';
import { conducts, type Device, isOnlyWay, openOhm, readingOf, type Sight, unloadedOf } from './device.ts';
import type { Hypothesis, Part } from './hypotheses.ts';
import type { Spread } from './quadrature.ts';
import { limitsOf } from './sights.ts';
import type { Stated } from './stated-model.ts';

/** What is seen of one part of a hypothesis. */
export interface Seen extends Spread {
  unsteady: number;
  /** Where it stands in its bad moments; null: it has none. */
  bad: number | null;
}

export function scaleOf(quantity: 'ohm' | 'volt', value: number): number {
  return quantity === 'volt' ? value : Math.log(Math.max(-0.0025, Math.min(openOhm, value)) + 0.005);
}

/** Less than this on the scale is no move at all. */
const leastMove = 3e-4;

/** What one number of a check shows under hypotheses. */
export class Looker {
  readonly healthy: Seen;
  readonly #value: number;
  readonly #kept = new Map<string, Seen[]>();
  readonly #guide: Guide;
  readonly #stated: Stated;
  readonly #check: Check;
  readonly #sight: Sight;

  constructor(guide: Guide, stated: Stated, check: Check, sight: Sight) {
    [this.#guide, this.#stated, this.#check, this.#sight] = [guide, stated, check, sight];
    this.#value = this.#read({});
    const [low, high] = this.#ends(this.#value, this.#value);
    this.healthy = { low, high, sigma: this.#sigma(this.#value, this.#healthySd()), unsteady: 0, bad: null };
  }

  /** Returns what is seen, part by part. */
  of(hypothesis: Hypothesis): Seen[] {
    const known = this.#kept.get(hypothesis.id);
    if (known !== undefined) return known;
    const all = hypothesis.parts.map((part) => this.#part(hypothesis, part));
    const isMoved = all.some(
      (one) =>
        Math.abs(one.low - this.healthy.low) >= leastMove ||
        Math.abs(one.high - this.healthy.high) >= leastMove ||
        one.unsteady > 1e-3,
    );
    const seen = isMoved ? all : all.map(() => this.healthy);
    this.#kept.set(hypothesis.id, seen);
    return seen;
  }

  #part({ fault, unknown }: Hypothesis, { low, high }: Part): Seen {
    const { level, quantity, power } = this.#sight;
    const [from, to] = [low[level], high[level]];
    if (fault?.mode === 'intermittent') {
      const opened = this.#read({ fault: { ...fault, mode: 'open' } });
      const unsteady = this.#n('unsteadyIntermittent') * this.#noticed(opened, this.#value);
      if (this.#move(opened) < leastMove) return this.healthy;
      return { ...this.healthy, unsteady, bad: scaleOf(quantity, opened) };
    }
    if (fault !== null) {
      const at = (ohm: number): Device => ({ fault: { ...fault, ohm } });
      const middle = Math.sqrt(from * to);
      const share =
        fault.mode === 'weak' ? this.#n('unsteadyWeak') : fault.mode === 'film' ? this.#n('unsteadyFilm') : 0;
      const unsteady =
        share === 0
          ? 0
          : share * this.#noticed(this.#read(at(middle * this.#n('wanderFactor'))), this.#read(at(middle)));
      return this.#between(this.#read(at(from)), this.#read(at(to)), this.#sdWith(at(from)), unsteady);
    }
    const device = (value: number): Device => {
      switch (unknown?.kind) {
        case 'short':
          return { joint: { a: unknown.a, b: unknown.b, ohm: value } };
        case 'rail':
          return { rail: { id: unknown.rail, factor: value } };
        case 'pad':
          return { covered: { pad: unknown.pad, ohm: value } };
        case 'values':
          return { values: { of: unknown.of, factor: value } };
        default:
          return {};
      }
    };
    if (unknown?.kind === 'rail' && (quantity === 'ohm' || power === 'off')) return this.healthy;
    return this.#between(this.#read(device(from)), this.#read(device(to)), this.#healthySd(), 0);
  }

  #between(one: number, other: number, sd: number, unsteady: number): Seen {
    const [low, high] = this.#ends(one, other);
    const wander = this.#sight.quantity === 'ohm' ? this.#n('wanderOhmScale') : this.#n('wanderVolt');
    const sigma = Math.max(this.#sigma(one, sd), this.#sigma(other, sd));
    return { low, high, sigma: Math.hypot(sigma, wander * unsteady), unsteady, bad: null };
  }

  /** The lower end first; ohms beyond where opens begin, from there. */
  #ends(one: number, other: number): [number, number] {
    const [a, b] = [scaleOf(this.#sight.quantity, one), scaleOf(this.#sight.quantity, other)];
    const from = this.#sight.quantity === 'ohm' ? scaleOf('ohm', this.#stated.number('circuit.openFromOhm')) : Infinity;
    return [Math.min(a, b, from), Math.max(a, b)];
  }

  #sigma(value: number, ownSd: number): number {
    const worn = this.#worn();
    if (this.#sight.quantity === 'ohm') {
      const least = this.#n('leastOhmSigma');
      if (value >= openOhm) return least;
      const sd = Math.hypot(ownSd, Math.min(worn, this.#n('commonContactSigma') * value));
      return Math.hypot(least, Math.min(1, sd / (value + 0.005)));
    }
    const effect = this.#n('faultVoltShare') * (value - this.#value);
    return Math.hypot(this.#n('leastVoltSigma'), this.#tolerance() * value, ownSd, worn, effect);
  }

  /** Of the rails: the guide says it by the limits. */
  #tolerance(): number {
    const { min = -Infinity, max = Infinity } = limitsOf(this.#check) ?? {};
    const room = Math.min(this.#value - min, max - this.#value);
    if (!Number.isFinite(room)) return this.#n('usualVoltTolerance');
    const share = room / this.#n('voltLimitSigmas') / Math.max(1e-6, Math.abs(this.#value));
    return Math.min(this.#n('mostVoltTolerance'), Math.max(this.#n('leastVoltTolerance'), share));
  }

  #healthySd(): number {
    return this.#isOpen() ? 0 : this.#sd({}, null);
  }

  /** Of the device with the fault in place, its own link left out; healthy where the fault is small, or adds to the only way. */
  #sdWith(device: Device): number {
    const fault = device.fault!;
    const link = this.#guide.links.find(({ id }) => id === fault.link)!;
    const value = this.#read(device);
    const isAdded = fault.mode === 'short' || !conducts(this.#guide, this.#sight, link);
    const isOnly = !isAdded && fault.mode !== 'leaky' && isOnlyWay(this.#guide, this.#stated, this.#sight, link);
    if (this.#sight.quantity === 'volt' || value >= openOhm || this.#move(value) < 0.05 || isOnly)
      return this.#healthySd();
    return this.#sd(device, isAdded ? null : link.id);
  }

  /** Each link moved a little by itself. */
  #sd(device: Device, but: string | null): number {
    const parts = this.#guide.links.map(({ id, spread }) =>
      id === but || spread === 0 ? 0 : spread * this.#slope(device, id),
    );
    return Math.hypot(...parts);
  }

  #worn(): number {
    const share = this.#n('commonContactSigma');
    if (share === 0 || this.#isOpen()) return 0;
    const kinds = ['spring', 'landing', 'connector', 'switch'].map((kind) =>
      this.#guide.links.filter((link) => link.kind === kind).reduce((sum, { id }) => sum + this.#slope({}, id), 0),
    );
    return share * Math.hypot(...kinds);
  }

  #slope(device: Device, link: string): number {
    const h = 1e-4;
    const at = (factor: number): number =>
      unloadedOf(this.#guide, this.#stated, this.#sight, { ...device, nudged: { link, factor } });
    return (at(1 + h) - at(1 - h)) / (2 * h);
  }

  #isOpen(): boolean {
    return this.#sight.quantity === 'ohm' && this.#value >= openOhm;
  }

  #move(value: number): number {
    return Math.abs(scaleOf(this.#sight.quantity, value) - scaleOf(this.#sight.quantity, this.#value));
  }

  #noticed(one: number, other: number): number {
    const { quantity } = this.#sight;
    const move = Math.abs(scaleOf(quantity, one) - scaleOf(quantity, other));
    const least =
      quantity === 'ohm'
        ? this.#n('noticedOhmScale')
        : this.#n('noticedVoltShare') * Math.max(0.2, Math.abs(this.#value));
    return Math.min(1, move / least);
  }

  #read(device: Device): number {
    return readingOf(this.#guide, this.#stated, this.#sight, device);
  }

  #n(name: string): number {
    return this.#stated.number(`prediction.${name}`);
  }
}
