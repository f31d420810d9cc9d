import { type Circuit, solveCircuit } from '../../src/guide/circuit/circuit.ts';
import { openOhm } from '../../src/guide/circuit/faults.ts';
import type { Fault, Guide } from '../../src/guide/types.ts';
import type { WorldClock } from '../hands/tips.ts';
import { type Random, randomOf } from '../random.ts';
import { Display, type DisplayOptions } from './display.ts';
import { KeyContacts } from './key-contacts.ts';
import { isLive, LiveFaults } from './live-faults.ts';

/** What may differ from one device under test to the next. */
export interface DeviceOptions {
  readonly guide: Guide;
  readonly faults: readonly Fault[];
  readonly seed: number;
  readonly power?: 'off' | 'on';
  readonly display?: DisplayOptions;
}

/**
 * One specimen of the guide's device: its own resistances, its faults, its keys, its power and how
 * far it is taken apart, over probe time.
 *
 * Link resistances are drawn once from the guide's spread (cut at two of it). Films, weak springs
 * and intermittent contacts change as one looks.
 */
export class Device {
  readonly guide: Guide;
  #faultsNow: readonly Fault[];
  #still: readonly Fault[];
  readonly #live: LiveFaults;
  readonly #keys: KeyContacts;
  /** What the device shows of itself. */
  readonly display: Display;
  readonly #drawnOhm: Record<string, number> = {};
  #powerNow: 'off' | 'on';
  #accessNow: string | undefined;
  readonly #luck: Random;
  #probe: { volt: number; padA: string; padB: string } | null = null;
  #bridge: { padA: string; padB: string; ohm: number } | null = null;
  #clock: WorldClock | null = null;
  readonly #solved = new Map<string, Circuit>();

  constructor(options: DeviceOptions) {
    const { guide, seed, faults } = options;
    this.guide = guide;
    this.#faultsNow = faults;
    this.#powerNow = options.power ?? 'off';
    const random = randomOf(seed, 'unit-to-unit');
    for (const link of guide.links) this.#drawnOhm[link.id] = link.ohm * Math.exp(link.spread * random.normalWithin(2));
    const changed = (): void => this.#changed();
    this.#still = faults.filter((fault) => !isLive(fault));
    this.#live = new LiveFaults(guide, faults, this.#drawnOhm, seed, changed);
    this.#keys = new KeyContacts(seed, changed);
    this.#luck = randomOf(seed, 'repairs');
    this.display = new Display(guide.inputs, seed, options.display);
  }

  /** Puts the device into probe time. */
  connect(clock: WorldClock): void {
    this.#clock = clock;
    this.display.connect(clock);
    this.#live.connect(clock);
    this.#keys.connect(clock);
    this.#checkFilms();
  }

  /** What is wrong with it now. */
  get faults(): readonly Fault[] {
    return this.#faultsNow;
  }

  /**
   * Does a repair of the guide: each fault that it fixes is gone with the repair's chance of
   * success. Returns what was mended.
   */
  repair(id: string): readonly Fault[] {
    const repair = this.guide.repairs.find((one) => one.id === id);
    return this.#mend(
      (fault) =>
        repair?.fixes.some(({ link, mode }) => link === fault.link && (mode === null || mode === fault.mode)) ===
          true && this.#luck.uniform() < repair.success,
    );
  }

  /**
   * Swaps a unit for a known-good one: what is wrong in it is gone, and what is wrong at its
   * interfaces too. Returns what was mended.
   */
  replace(unit: string): readonly Fault[] {
    const links = this.guide.links.filter((link) => link.unit === unit || link.between?.includes(unit) === true);
    return this.#mend((fault) => links.some((link) => link.id === fault.link));
  }

  #mend(isGone: (fault: Fault) => boolean): readonly Fault[] {
    const mended = this.#faultsNow.filter(isGone);
    this.#faultsNow = this.#faultsNow.filter((fault) => !mended.includes(fault));
    this.#still = this.#faultsNow.filter((fault) => !isLive(fault));
    this.#live.mend(mended);
    this.#changed();
    return mended;
  }

  get power(): 'off' | 'on' {
    return this.#powerNow;
  }

  /** Switches the device on or off. */
  setPower(power: 'off' | 'on'): void {
    if (power === this.#powerNow) return;
    this.#powerNow = power;
    this.#changed();
    this.#checkFilms();
  }

  /** State of disassembly, an id of the guide's; undefined for the closed device. */
  get access(): string | undefined {
    return this.#accessNow;
  }

  /**
   * Takes the device apart as far as a state of disassembly says, or puts it together (undefined).
   */
  setAccess(access: string | undefined): void {
    if (access === this.#accessNow) return;
    this.#accessNow = access;
    this.#changed();
  }

  /** Keys whose contact is made at this moment. */
  get pressedKeys(): string[] {
    return this.#keys.pressed;
  }

  /** Moves a key down or up; its contact bounces for a few milliseconds. */
  moveKey(key: string, down: boolean): void {
    this.#keys.move(key, down);
  }

  /**
   * Says whether something is being measured (then loose contacts chatter), and with which force
   * the tips press.
   */
  watch(on: boolean, forceNewton: number): void {
    this.#live.watch(on, forceNewton);
    this.#solved.clear();
  }

  /**
   * Bends, taps and presses about the device, or lets it be: loose contacts and weak springs
   * chatter more.
   */
  flex(on: boolean): void {
    this.#live.flex(on);
  }

  /**
   * Lets the display follow the inputs, with the probe's bridge between two pads unless it is null.
   */
  show(bridge: { padA: string; padB: string; ohm: number } | null): void {
    const wasBridged = this.#bridge !== null;
    this.#bridge = bridge;
    // what a bridge draws through a film may break it
    if (wasBridged !== (bridge !== null)) this.#checkFilms();
    this.display.follow(this.#powerNow === 'on', (input) =>
      bridge === null ? this.responds(input) : this.responds(input, bridge.padA, bridge.padB, bridge.ohm),
    );
  }

  /**
   * Returns what two tips see on two pads; `bridgeOhm` joins the pads as well unless it is null.
   */
  between(padA: string, padB: string, bridgeOhm: number | null): { openVolt: number; sourceOhm: number } {
    const { openVolt, sourceOhm } = this.#circuit(padA, padB, bridgeOhm).thevenin(padA, padB);
    return { openVolt, sourceOhm: sourceOhm >= openOhm ? Number.POSITIVE_INFINITY : sourceOhm };
  }

  /**
   * Returns whether the device answers to one of its inputs now, with the pads joined by
   * `bridgeOhm` unless that is null.
   */
  responds(input: string, padA = '', padB = '', bridgeOhm: number | null = null): boolean {
    return this.#circuit(padA, padB, bridgeOhm).responds(input);
  }

  /**
   * Takes notice of the voltage that the probe's source puts across two pads (null: of none): it
   * may break films in the way.
   */
  excited(probe: { volt: number; padA: string; padB: string } | null): void {
    this.#probe = probe;
    this.#checkFilms();
  }

  #circuit(padA: string, padB: string, bridgeOhm: number | null): Circuit {
    const key = bridgeOhm === null ? '' : `${padA} ${padB} ${bridgeOhm}`;
    const known = this.#solved.get(key);
    if (known !== undefined) return known;
    const circuit = solveCircuit(this.guide, {
      power: this.#powerNow,
      pressed: this.pressedKeys,
      faults: [...this.#still],
      level: 'normal',
      access: this.#accessNow,
      linkOhm: { ...this.#drawnOhm, ...this.#live.ohms() },
      ...(bridgeOhm === null ? {} : { bridge: { padA, padB, ohm: bridgeOhm } }),
    });
    this.#solved.set(key, circuit);
    return circuit;
  }

  #checkFilms(): void {
    this.#live.checkFilms({
      circuit: () =>
        this.#bridge === null
          ? this.#circuit('', '', null)
          : this.#circuit(this.#bridge.padA, this.#bridge.padB, this.#bridge.ohm),
      isPowered: this.#powerNow === 'on',
      probe: this.#probe,
    });
  }

  #changed(): void {
    this.#solved.clear();
    this.#clock?.changed();
  }
}
