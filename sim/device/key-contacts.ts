import type { WorldClock } from '../hands/tips.ts';
import { type Random, randomOf } from '../random.ts';

/** Bounce of a key's contact: so many makes, within this time; common practice, no source. */
const makes = { low: 1, high: 6 } as const;
const bounceUs = { low: 300, high: 4_000 } as const;

/** The contacts of a device's keys: moving a key makes its contact bounce before it rests. */
export class KeyContacts {
  readonly #random: Random;
  readonly #onChange: () => void;
  readonly #closed = new Set<string>();
  readonly #events = new Map<string, (() => void)[]>();
  #clock: WorldClock | null = null;

  /** @param onChange called when a contact made or broke */
  constructor(seed: number, onChange: () => void) {
    this.#random = randomOf(seed, 'keys');
    this.#onChange = onChange;
  }

  connect(clock: WorldClock): void {
    this.#clock = clock;
  }

  /** Keys whose contact is made at this moment. */
  get pressed(): string[] {
    return [...this.#closed];
  }

  /** Moves a key down or up from now on. */
  move(key: string, down: boolean): void {
    const clock = this.#clock;
    if (clock === null) return;
    for (const cancel of this.#events.get(key) ?? []) cancel();
    const random = this.#random;
    const count = random.integer(makes.low, makes.high);
    const spanUs = bounceUs.low + (bounceUs.high - bounceUs.low) * random.uniform();
    const flips = Array.from({ length: 2 * (count - 1) }, () => random.uniform() * spanUs).sort((a, b) => a - b);
    const startUs = clock.nowUs;
    this.#events.set(
      key,
      [0, ...flips].map((afterUs, index) =>
        clock.at(startUs + afterUs, () => this.#set(key, index % 2 === 0 ? down : !down)),
      ),
    );
  }

  #set(key: string, closed: boolean): void {
    if (closed === this.#closed.has(key)) return;
    if (closed) this.#closed.add(key);
    else this.#closed.delete(key);
    this.#onChange();
  }
}
