import type { Input } from '../../src/guide/types.ts';
import type { WorldClock } from '../hands/tips.ts';
import { type Random, randomOf } from '../random.ts';

/** What of a device can be seen from outside, and how well. */
export interface DisplayOptions {
  /** Nothing lights up, whatever the device does; default false. */
  readonly dead?: boolean;
  /**
   * Brightness at the light sensor, 0..1, of the device that is on (default 0.15), and what a
   * response adds (default 0.35).
   */
  readonly idleGlow?: number;
  readonly responseGlow?: number;
  /** Brightness of the bench about it; default drawn, 0.03..0.1. */
  readonly ambient?: number;
}

/**
 * An input must stay active this long to be taken for a press; the device shows it after its
 * reaction; common practice, no source.
 */
const pressUs = 15e3;
const reactionUs = { low: 80e3, high: 200e3 } as const;
/**
 * What is left of the flicker of lamps behind the sensor's filter, as a part of the ambient light,
 * at twice the mains frequency.
 */
const flickerShare = 0.04;
const flickerHertz = 100;
/** A person notices no less than this. */
const noticedGlow = 0.02;

/** A change that the display showed: what the device does for an input began or ended. */
export interface Shown {
  readonly tUs: number;
  readonly input: string;
  readonly on: boolean;
}

/**
 * What the device shows over probe time: each press of an input begins what the device does for it,
 * the next one ends it. An input that is active as the device comes on is its state at rest (a
 * switch that is closed, a key that is stuck): no press before it has let go.
 *
 * A person and the probe's light sensor look at the same display.
 */
export class Display {
  readonly #inputs: readonly Input[];
  readonly #random: Random;
  readonly #isDead: boolean;
  readonly #idleGlow: number;
  readonly #responseGlow: number;
  readonly #ambient: number;
  readonly #phase: number;
  readonly #active = new Map<string, { takeBack: () => void }>();
  readonly #doing = new Set<string>();
  readonly #pending = new Set<() => void>();
  readonly #log: Shown[] = [];
  #isOn = false;
  #clock: WorldClock | null = null;

  constructor(inputs: readonly Input[], seed: number, options: DisplayOptions = {}) {
    this.#inputs = inputs;
    this.#random = randomOf(seed, 'display');
    this.#isDead = options.dead ?? false;
    this.#idleGlow = options.idleGlow ?? 0.15;
    this.#responseGlow = options.responseGlow ?? 0.35;
    const drawn = 0.03 + 0.07 * this.#random.uniform();
    this.#phase = 2 * Math.PI * this.#random.uniform();
    this.#ambient = options.ambient ?? drawn;
  }

  connect(clock: WorldClock): void {
    this.#clock = clock;
  }

  /** Takes notice of the device: whether it is on, and which inputs are active at this moment. */
  follow(isOn: boolean, isActive: (input: string) => boolean): void {
    if (!isOn) {
      if (this.#isOn) this.#goDark();
      return;
    }
    const comesOn = !this.#isOn;
    this.#isOn = true;
    for (const { id } of this.#inputs) {
      const known = this.#active.get(id);
      if (isActive(id)) {
        if (known !== undefined) continue;
        this.#active.set(id, { takeBack: comesOn ? () => undefined : this.#after(pressUs, () => this.#press(id)) });
      } else if (known !== undefined) {
        known.takeBack();
        this.#active.delete(id);
      }
    }
  }

  /** Returns the changes that were shown from `tUs` on, in order. */
  shownSince(tUs: number): readonly Shown[] {
    return this.#log.filter((shown) => shown.tUs >= tUs);
  }

  /** Whether a person sees anything of the device: it is on and its display works. */
  get isReadable(): boolean {
    return this.#isOn && !this.#isDead && this.#responseGlow >= noticedGlow;
  }

  /** Returns the brightness before the display at a time, 0..1. */
  brightness(tUs: number): number {
    const flicker = 1 + flickerShare * Math.sin(2 * Math.PI * flickerHertz * tUs * 1e-6 + this.#phase);
    // so that each change is one of brightness, whatever else it is doing
    const isLit = this.#doing.size % 2 === 1;
    const own = !this.#isOn || this.#isDead ? 0 : this.#idleGlow + (isLit ? this.#responseGlow : 0);
    return Math.min(1, this.#ambient * flicker + own);
  }

  #press(input: string): void {
    const reaction = reactionUs.low + (reactionUs.high - reactionUs.low) * this.#random.uniform();
    this.#after(Math.max(0, reaction - pressUs), () => {
      const on = !this.#doing.delete(input);
      if (on) this.#doing.add(input);
      this.#log.push({ tUs: this.#clock!.nowUs, input, on });
    });
  }

  #after(us: number, run: () => void): () => void {
    const clock = this.#clock;
    if (clock === null) return () => undefined;
    const cancel = clock.at(clock.nowUs + us, () => {
      this.#pending.delete(cancel);
      run();
    });
    this.#pending.add(cancel);
    return () => {
      this.#pending.delete(cancel);
      cancel();
    };
  }

  #goDark(): void {
    this.#isOn = false;
    for (const cancel of this.#pending) cancel();
    this.#pending.clear();
    this.#active.clear();
    this.#doing.clear();
  }
}
