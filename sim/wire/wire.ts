import type { Timers } from '../../src/ports/timers.ts';
import type { Transport } from '../../src/ports/transport.ts';
import { type Random, randomOf } from '../random.ts';

/**
 * How bad the wire is: chances a byte (lost, flipped, doubled) or a delivery (delayed, stalled).
 * All 0 if not given.
 */
export interface WireFaultRates {
  /** A byte never arrives. */
  readonly lost?: number;
  /** One bit of a byte is turned over. */
  readonly flipped?: number;
  /** A byte arrives twice. */
  readonly doubled?: number;
  /** A delivery, and all after it, waits for {@link delayTurns} turns of the event loop. */
  readonly delayed?: number;
  readonly delayTurns?: number;
  /**
   * The host stops reading for {@link stallTurns} turns; what comes in beyond {@link
   * hostBufferBytes} is lost.
   */
  readonly stalled?: number;
  readonly stallTurns?: number;
  readonly hostBufferBytes?: number;
}

/** What the wire did to the bytes so far. */
export interface WireCounters {
  lost: number;
  flipped: number;
  doubled: number;
  delayed: number;
  stalls: number;
  overflowed: number;
}

const defaultDelayTurns = 5;
const defaultStallTurns = 50;
/** Room in a terminal's input queue on Linux (N_TTY_BUF_SIZE less one; from memory). */
const defaultHostBufferBytes = 4095;

/**
 * A transport with a bad wire before it: loses, flips, doubles and delays bytes in both directions,
 * and a host that is slow to read.
 *
 * Order is kept, as on a wire. What happens to the n-th byte depends on the seed and n alone.
 */
export class FaultyWire implements Transport {
  readonly counters: WireCounters = { lost: 0, flipped: 0, doubled: 0, delayed: 0, stalls: 0, overflowed: 0 };
  /** Rates in force; may be changed at any time. */
  rates: WireFaultRates;
  readonly pulseReset?: () => Promise<void>;
  readonly hold?: () => () => void;
  readonly timers?: Timers;
  readonly #inner: Transport;
  readonly #toHost: Random;
  readonly #toProbe: Random;
  readonly #waits: Random;
  readonly #dataListeners: ((bytes: Uint8Array) => void)[] = [];
  #waiting: Uint8Array[] = [];
  #turnsLeft = 0;
  #stalling = false;

  constructor(inner: Transport, seed: number, rates: WireFaultRates = {}) {
    this.#inner = inner;
    this.rates = rates;
    this.#toHost = randomOf(seed, 'wire to host');
    this.#toProbe = randomOf(seed, 'wire to probe');
    this.#waits = randomOf(seed, 'wire waits');
    if (inner.pulseReset !== undefined) this.pulseReset = () => inner.pulseReset!();
    if (inner.hold !== undefined) this.hold = () => inner.hold!();
    if (inner.timers !== undefined) this.timers = inner.timers;
    inner.onData((bytes) => this.#receive(bytes));
  }

  get path(): string {
    return this.#inner.path;
  }

  open(): Promise<void> {
    this.#waiting = [];
    this.#turnsLeft = 0;
    return this.#inner.open();
  }

  write(bytes: Uint8Array): Promise<void> {
    return this.#inner.write(this.#spoil(bytes, this.#toProbe));
  }

  onData(listener: (bytes: Uint8Array) => void): void {
    this.#dataListeners.push(listener);
  }

  onClose(listener: (why: string) => void): void {
    this.#inner.onClose(listener);
  }

  close(): Promise<void> {
    this.#waiting = [];
    return this.#inner.close();
  }

  #spoil(bytes: Uint8Array, random: Random): Uint8Array {
    const { lost = 0, flipped = 0, doubled = 0 } = this.rates;
    const out: number[] = [];
    for (const byte of bytes) {
      // always the same number of draws a byte, so that one fault doesn't shift the others
      const [drawLost, drawFlip, drawDouble, bit] = [
        random.uniform(),
        random.uniform(),
        random.uniform(),
        random.integer(0, 7),
      ];
      if (drawLost < lost) {
        this.counters.lost++;
        continue;
      }
      let now = byte;
      if (drawFlip < flipped) {
        this.counters.flipped++;
        now ^= 1 << bit;
      }
      out.push(now);
      if (drawDouble < doubled) {
        this.counters.doubled++;
        out.push(now);
      }
    }
    return Uint8Array.from(out);
  }

  #receive(bytes: Uint8Array): void {
    const { delayed = 0, stalled = 0, delayTurns = defaultDelayTurns, stallTurns = defaultStallTurns } = this.rates;
    const spoilt = this.#spoil(bytes, this.#toHost);
    if (this.#turnsLeft === 0) {
      const [drawDelay, drawStall] = [this.#waits.uniform(), this.#waits.uniform()];
      if (drawStall < stalled) this.#startWait(stallTurns, true);
      else if (drawDelay < delayed) this.#startWait(delayTurns, false);
    }
    if (this.#turnsLeft === 0) this.#deliver(spoilt);
    else this.#keep(spoilt);
  }

  #startWait(turns: number, stalling: boolean): void {
    this.#turnsLeft = Math.max(1, turns);
    this.#stalling = stalling;
    this.counters[stalling ? 'stalls' : 'delayed']++;
    const turn = (): void => {
      if (this.#turnsLeft === 0) return;
      this.#turnsLeft--;
      if (this.#turnsLeft > 0) {
        setImmediate(turn);
        return;
      }
      const kept = this.#waiting;
      this.#waiting = [];
      for (const bytes of kept) this.#deliver(bytes);
    };
    setImmediate(turn);
  }

  #keep(bytes: Uint8Array): void {
    const { hostBufferBytes = defaultHostBufferBytes } = this.rates;
    const held = this.#waiting.reduce((sum, each) => sum + each.length, 0);
    const room = this.#stalling ? Math.max(0, hostBufferBytes - held) : bytes.length;
    this.counters.overflowed += Math.max(0, bytes.length - room);
    this.#waiting.push(bytes.subarray(0, room));
  }

  #deliver(bytes: Uint8Array): void {
    if (bytes.length === 0) return;
    for (const listener of this.#dataListeners) listener(bytes);
  }
}
