import type { Circuit } from '../../src/guide/circuit/circuit.ts';
import { faultLinkOhm, filmBreakdownVolt, openOhm } from '../../src/guide/circuit/faults.ts';
import type { Fault, Guide, Link } from '../../src/guide/types.ts';
import type { WorldClock } from '../hands/tips.ts';
import { type Random, randomOf } from '../random.ts';

/**
 * A film breaks this long after its voltage is reached, and is whole again this long after the
 * voltage went; our choice.
 */
const filmBreaksUs = 30;
const filmReformsUs = 500_000;
/**
 * Stretches of an intermittent contact while something is measured over it, each drawn evenly from
 * its range; our choice.
 *
 * The hand's tremor keeps such a contact moving: no good stretch is long enough for a reading to
 * settle in it.
 */
const intermittentGoodUs = { low: 1_000, high: 12_000 } as const;
const intermittentOpenUs = { low: 50, high: 5_000 } as const;
/**
 * A weak spring's resistance is drawn anew this often on average, about its mean by this many log
 * units.
 */
const weakStepUs = 3_000;
const weakLogSpread = 0.2;
/**
 * Flexing shortens the good stretches and the steps of a weak spring to this part, and spreads the
 * spring's resistance this much more.
 */
const flexedTime = 0.4;
const flexedSpread = 4;
/** Tip force at which a weak spring reads its mean. */
const meanForceNewton = 1;

interface LiveFault {
  readonly link: Link;
  readonly fault: Fault;
  readonly baseOhm: number;
  readonly random: Random;
  /** Film: broken through. Intermittent: open. Weak: not used. */
  active: boolean;
  /** Weak: factor on the added resistance. */
  factor: number;
  cancel: (() => void) | null;
}

/**
 * What films look at: the circuit as it is, whether the device's own supply is in it, and the
 * voltage that the probe puts between two pads.
 */
export interface FilmSurroundings {
  readonly circuit: () => Circuit;
  readonly isPowered: boolean;
  readonly probe: { readonly volt: number; readonly padA: string; readonly padB: string } | null;
}

/** Returns whether a fault changes while one looks: films, weak springs, intermittent contacts. */
export const isLive = (fault: Fault): boolean =>
  fault.mode === 'film' || fault.mode === 'weak' || fault.mode === 'intermittent';

/** The faults of a device that have a life of their own in probe time. */
export class LiveFaults {
  #faults: readonly LiveFault[];
  readonly #onChange: () => void;
  #clock: WorldClock | null = null;
  #watched = false;
  #isFlexed = false;
  #forceNewton = meanForceNewton;

  /**
   * @param drawnOhm the links' own resistances in this specimen @param onChange called when a
   * resistance changed
   */
  constructor(
    guide: Guide,
    faults: readonly Fault[],
    drawnOhm: Readonly<Record<string, number>>,
    seed: number,
    onChange: () => void,
  ) {
    this.#onChange = onChange;
    this.#faults = faults.filter(isLive).flatMap((fault, index) => {
      const link = guide.links.find((one) => one.id === fault.link);
      if (link === undefined) return [];
      const random = randomOf(seed, `live fault ${index}`);
      return [{ link, fault, baseOhm: drawnOhm[link.id] ?? link.ohm, random, active: false, factor: 1, cancel: null }];
    });
  }

  connect(clock: WorldClock): void {
    this.#clock = clock;
  }

  /** Takes faults away that a repair has mended. */
  mend(mended: readonly Fault[]): void {
    for (const { fault, cancel } of this.#faults) if (mended.includes(fault)) cancel?.();
    this.#faults = this.#faults.filter(({ fault }) => !mended.includes(fault));
  }

  /** Returns the present resistance of each link with such a fault. */
  ohms(): Record<string, number> {
    return Object.fromEntries(this.#faults.map((each) => [each.link.id, this.#ohmOf(each)]));
  }

  /**
   * Says whether something is being measured (then loose contacts chatter), and with which force
   * the tips press.
   */
  watch(on: boolean, forceNewton: number): void {
    this.#forceNewton = forceNewton > 0 ? forceNewton : meanForceNewton;
    if (on === this.#watched) return;
    this.#watched = on;
    for (const each of this.#faults) {
      if (each.fault.mode === 'film') continue;
      each.cancel?.();
      each.cancel = null;
      each.active = false;
      if (on && each.fault.mode === 'intermittent') this.#scheduleFlip(each);
      if (on && each.fault.mode === 'weak') this.#scheduleWander(each);
    }
  }

  /** Says whether the device is bent and tapped. */
  flex(on: boolean): void {
    this.#isFlexed = on;
  }

  /** Lets films break or begin to form again, by the voltage across each. */
  checkFilms(surroundings: FilmSurroundings): void {
    for (const each of this.#faults) {
      if (each.fault.mode !== 'film' || this.#clock === null) continue;
      const { probe, isPowered } = surroundings;
      // a broken film has little voltage left across it: any source keeps it broken
      const shouldBreak = each.active
        ? isPowered || (probe !== null && probe.volt !== 0)
        : this.#acrossFilm(each, surroundings) > filmBreakdownVolt;
      if (shouldBreak === each.active) {
        each.cancel?.();
        each.cancel = null;
      } else if (each.cancel === null) {
        const dueUs = this.#clock.nowUs + (shouldBreak ? filmBreaksUs : filmReformsUs);
        each.cancel = this.#clock.at(dueUs, () => {
          each.cancel = null;
          each.active = shouldBreak;
          this.#onChange();
        });
      }
    }
  }

  #ohmOf({ link, fault, baseOhm, active, factor }: LiveFault): number {
    if (fault.mode === 'intermittent') return active ? openOhm : baseOhm;
    if (fault.mode === 'film') return faultLinkOhm(link, fault, active ? 'normal' : 'dry', baseOhm);
    // a constriction goes with one over the root of the force (Holm)
    const addedOhm = faultLinkOhm(link, fault, 'normal', 0);
    return baseOhm + addedOhm * factor * Math.sqrt(meanForceNewton / this.#forceNewton);
  }

  #acrossFilm(each: LiveFault, { circuit, probe }: FilmSurroundings): number {
    const now = circuit();
    const ownVolt = Math.abs(now.nodeVolt(each.link.from) - now.nodeVolt(each.link.to));
    if (probe === null || probe.volt === 0) return ownVolt;
    const share = now.shares(probe.padA, probe.padB).find((one) => one.link === each.link.id)?.share ?? 0;
    const ohm = now.resistanceOhm(probe.padA, probe.padB);
    // power in the film = share of V^2 / R
    const byProbeVolt = ohm > 0 ? Math.abs(probe.volt) * Math.sqrt((share * this.#ohmOf(each)) / ohm) : 0;
    return Math.max(ownVolt, byProbeVolt);
  }

  #scheduleFlip(each: LiveFault): void {
    const clock = this.#clock!;
    const { low, high } = each.active ? intermittentOpenUs : intermittentGoodUs;
    const part = this.#isFlexed && !each.active ? flexedTime : 1;
    each.cancel = clock.at(clock.nowUs + part * (low + (high - low) * each.random.uniform()), () => {
      each.active = !each.active;
      this.#scheduleFlip(each);
      this.#onChange();
    });
  }

  #scheduleWander(each: LiveFault): void {
    const clock = this.#clock!;
    const stepUs = weakStepUs * (this.#isFlexed ? flexedTime : 1);
    each.cancel = clock.at(clock.nowUs + 100 + each.random.exponential(stepUs), () => {
      const spread = weakLogSpread * (this.#isFlexed ? flexedSpread : 1);
      each.factor = Math.exp(spread * each.random.normalWithin(3));
      this.#scheduleWander(each);
      this.#onChange();
    });
  }
}
