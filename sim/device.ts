import { type Circuit, solveCircuit } from '../src/guide/circuit.ts';
import { faultLinkOhm, filmBreakdownVolt, openOhm } from '../src/guide/faults.ts';
import type { Fault, Guide, Link } from '../src/guide/types.ts';
import { type Random, randomOf } from './random.ts';
import type { WorldClock } from './tips.ts';

/** A film breaks this long after its voltage is reached, and is whole again this long after the voltage went; our choice. */
const filmBreaksUs = 30;
const filmReformsUs = 500_000;
/**
 * Stretches of an intermittent contact while something is measured over it, each drawn evenly from its range; our choice.
 *
 * The hand's tremor keeps such a contact moving: no good stretch is long enough for a reading to settle in it.
 */
const intermittentGoodUs = { low: 1_000, high: 12_000 } as const;
const intermittentOpenUs = { low: 50, high: 5_000 } as const;
/** A weak spring's resistance is drawn anew this often on average, about its mean by this many log units. */
const weakStepUs = 3_000;
const weakLogSpread = 0.2;
/** Tip force at which a weak spring reads its mean. */
const weakForceNewton = 1;
/** Key bounce: at most this many makes, within this time; common practice, no source. */
const keyMakes = { low: 1, high: 6 } as const;
const keyBounceUs = { low: 300, high: 4_000 } as const;

interface MovingFault {
  readonly link: Link;
  readonly fault: Fault;
  readonly baseOhm: number;
  random: Random;
  /** Film: broken through. Intermittent: open. Weak: not used. */
  active: boolean;
  /** Weak: factor on the added resistance. */
  factor: number;
  cancel: (() => void) | null;
}

/** What may differ from one device under test to the next. */
export interface DeviceOptions {
  readonly guide: Guide;
  readonly faults: readonly Fault[];
  readonly seed: number;
  readonly power?: 'off' | 'on';
}

/**
 * One specimen of the guide's device: its own resistances, its faults, its keys and its power, over probe time.
 *
 * Link resistances are drawn once from the guide's spread. Films, weak springs and intermittent contacts live: they are the links' values at the moment.
 */
export class Device {
  readonly guide: Guide;
  readonly faults: readonly Fault[];
  private readonly still: Fault[];
  private readonly moving: MovingFault[] = [];
  private readonly drawnOhm: Record<string, number> = {};
  private readonly keyRandom: Random;
  private readonly closedKeys = new Set<string>();
  private readonly keyEvents = new Map<string, (() => void)[]>();
  private powerNow: 'off' | 'on';
  private accessNow: string | undefined;
  private clock: WorldClock | null = null;
  private watched = false;
  private forceNewton = weakForceNewton;
  private readonly solved = new Map<string, Circuit>();

  constructor(options: DeviceOptions) {
    const { guide, seed } = options;
    this.guide = guide;
    this.faults = options.faults;
    this.powerNow = options.power ?? 'off';
    this.keyRandom = randomOf(seed, 'keys');
    const spreadRandom = randomOf(seed, 'unit-to-unit');
    for (const link of guide.links)
      this.drawnOhm[link.id] = link.ohm * Math.exp(link.spread * spreadRandom.normalWithin(2));
    const lives = (fault: Fault): boolean => ['film', 'weak', 'intermittent'].includes(fault.mode);
    this.still = options.faults.filter((fault) => !lives(fault));
    for (const [index, fault] of options.faults.entries()) {
      const link = guide.links.find((one) => one.id === fault.link);
      if (link === undefined || !lives(fault)) continue;
      const random = randomOf(seed, `fault ${index}`);
      const baseOhm = this.drawnOhm[link.id] ?? link.ohm;
      this.moving.push({ link, fault, baseOhm, random, active: false, factor: 1, cancel: null });
    }
  }

  /** Puts the device into probe time. */
  connect(clock: WorldClock): void {
    this.clock = clock;
    this.checkFilms(0, null);
  }

  get power(): 'off' | 'on' {
    return this.powerNow;
  }

  /** Switches the device on or off. */
  setPower(power: 'off' | 'on'): void {
    if (power === this.powerNow) return;
    this.powerNow = power;
    this.changed();
  }

  /** State of disassembly, an id of the guide's; undefined for the closed device. */
  get access(): string | undefined {
    return this.accessNow;
  }

  /** Takes the device apart as far as a state of disassembly says, or puts it together (undefined). */
  setAccess(access: string | undefined): void {
    if (access === this.accessNow) return;
    this.accessNow = access;
    this.changed();
  }

  /** Keys whose contact is made at this moment. */
  get pressedKeys(): string[] {
    return [...this.closedKeys];
  }

  /** Moves a key down or up; its contact bounces for a few milliseconds. Returns the probe time at which it rests. */
  moveKey(key: string, down: boolean): number {
    const clock = this.clock;
    if (clock === null) return 0;
    for (const cancel of this.keyEvents.get(key) ?? []) cancel();
    const { keyRandom } = this;
    const makes = keyRandom.integer(keyMakes.low, keyMakes.high);
    const spanUs = keyBounceUs.low + (keyBounceUs.high - keyBounceUs.low) * keyRandom.uniform();
    const flips = Array.from({ length: 2 * (makes - 1) }, () => keyRandom.uniform() * spanUs).sort((a, b) => a - b);
    const startUs = clock.nowUs;
    const events: (() => void)[] = [];
    const set = (closed: boolean) => (): void => {
      if (closed === this.closedKeys.has(key)) return;
      if (closed) this.closedKeys.add(key);
      else this.closedKeys.delete(key);
      this.changed();
    };
    for (const [index, afterUs] of [0, ...flips].entries())
      events.push(clock.at(startUs + afterUs, set(index % 2 === 0 ? down : !down)));
    this.keyEvents.set(key, events);
    return startUs + (flips.at(-1) ?? 0);
  }

  /** Says whether something is being measured (then loose contacts chatter), and with which force the tips press. */
  watch(on: boolean, forceNewton: number): void {
    this.forceNewton = forceNewton > 0 ? forceNewton : weakForceNewton;
    if (on === this.watched) return;
    this.watched = on;
    for (const each of this.moving) {
      each.cancel?.();
      each.cancel = null;
      if (each.fault.mode === 'intermittent') {
        each.active = false;
        if (on) this.scheduleFlip(each);
      } else if (each.fault.mode === 'weak' && on) this.scheduleWander(each);
    }
    this.solved.clear();
  }

  /** Returns what two tips see on two pads; `bridgeOhm` joins the pads as well unless it is null. */
  between(padA: string, padB: string, bridgeOhm: number | null): { openVolt: number; sourceOhm: number } {
    const seen = this.circuit(padA, padB, bridgeOhm).thevenin(padA, padB);
    return {
      openVolt: seen.openVolt,
      sourceOhm: seen.sourceOhm >= openOhm ? Number.POSITIVE_INFINITY : seen.sourceOhm,
    };
  }

  /** Returns whether the device answers to one of its inputs now, with the pads joined by `bridgeOhm` unless that is null. */
  responds(input: string, padA = '', padB = '', bridgeOhm: number | null = null): boolean {
    return this.circuit(padA, padB, bridgeOhm).responds(input);
  }

  /** Takes notice of the voltage that a source puts across two pads: it may break films in the way. */
  excited(volt: number, padA: string, padB: string): void {
    this.checkFilms(volt, { padA, padB });
  }

  private circuit(padA: string, padB: string, bridgeOhm: number | null): Circuit {
    const key = bridgeOhm === null ? '' : `${padA} ${padB} ${bridgeOhm}`;
    const known = this.solved.get(key);
    if (known !== undefined) return known;
    const linkOhm = { ...this.drawnOhm };
    for (const each of this.moving) linkOhm[each.link.id] = this.movingOhm(each);
    const circuit = solveCircuit(this.guide, {
      power: this.powerNow,
      pressed: this.pressedKeys,
      faults: this.still,
      level: 'normal',
      access: this.accessNow,
      linkOhm,
      ...(bridgeOhm === null ? {} : { bridge: { padA, padB, ohm: bridgeOhm } }),
    });
    this.solved.set(key, circuit);
    return circuit;
  }

  private movingOhm(each: MovingFault): number {
    const { link, fault, baseOhm, active, factor } = each;
    if (fault.mode === 'intermittent') return active ? openOhm : baseOhm;
    if (fault.mode === 'film') return faultLinkOhm(link, fault, active ? 'normal' : 'dry', baseOhm);
    // a constriction goes with one over the root of the force (Holm)
    const added = faultLinkOhm(link, fault, 'normal', 0);
    return baseOhm + added * factor * Math.sqrt(weakForceNewton / this.forceNewton);
  }

  private scheduleFlip(each: MovingFault): void {
    const clock = this.clock!;
    const { low, high } = each.active ? intermittentOpenUs : intermittentGoodUs;
    each.cancel = clock.at(clock.nowUs + low + (high - low) * each.random.uniform(), () => {
      each.active = !each.active;
      this.scheduleFlip(each);
      this.changed();
    });
  }

  private scheduleWander(each: MovingFault): void {
    const clock = this.clock!;
    each.cancel = clock.at(clock.nowUs + 100 + each.random.exponential(weakStepUs), () => {
      each.factor = Math.exp(weakLogSpread * each.random.normalWithin(3));
      this.scheduleWander(each);
      this.changed();
    });
  }

  private checkFilms(volt: number, pads: { padA: string; padB: string } | null): void {
    for (const each of this.moving) {
      if (each.fault.mode !== 'film' || this.clock === null) continue;
      const acrossVolt = each.active
        ? volt !== 0 || this.powerNow === 'on'
          ? Number.POSITIVE_INFINITY
          : 0
        : this.acrossFilm(each, volt, pads);
      const shouldBreak = acrossVolt > filmBreakdownVolt;
      if (shouldBreak === each.active) {
        each.cancel?.();
        each.cancel = null;
      } else if (each.cancel === null) {
        const dueUs = this.clock.nowUs + (shouldBreak ? filmBreaksUs : filmReformsUs);
        each.cancel = this.clock.at(dueUs, () => {
          each.cancel = null;
          each.active = shouldBreak;
          this.changed();
        });
      }
    }
  }

  private acrossFilm(each: MovingFault, volt: number, pads: { padA: string; padB: string } | null): number {
    const circuit = this.circuit('', '', null);
    const ownVolt = Math.abs(circuit.nodeVolt(each.link.from) - circuit.nodeVolt(each.link.to));
    if (pads === null || volt === 0) return ownVolt;
    const share = circuit.shares(pads.padA, pads.padB).find((one) => one.link === each.link.id)?.share ?? 0;
    const ohm = circuit.resistanceOhm(pads.padA, pads.padB);
    // power in the film = share of V^2 / R
    return Math.max(ownVolt, ohm > 0 ? Math.abs(volt) * Math.sqrt((share * this.movingOhm(each)) / ohm) : 0);
  }

  private changed(): void {
    this.solved.clear();
    this.clock?.changed();
  }
}
