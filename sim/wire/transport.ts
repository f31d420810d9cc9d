import type { Timers } from '../../src/ports/timers.ts';
import type { Transport } from '../../src/ports/transport.ts';
import type { EmulatedProbe } from '../probe/emulated-probe.ts';
import { Pacer } from '../probe/pacer.ts';
import { ProbeTimers } from '../probe/probe-timers.ts';

/** Probe time that one turn of the host's event loop gets. */
const sliceUs = 2_000;
/** Real time: the pace is kept in turns of this length. */
const realTimeTurnMs = 2;

/** Options of {@link SimTransport}. */
export interface SimTransportOptions {
  readonly probe: EmulatedProbe;
  /** Name shown for the port; default `sim:`. */
  readonly path?: string;
  /** Probe time follows the wall clock; default false: as fast as it goes. */
  readonly realTime?: boolean;
  /** Probe time that runs before the host gets a turn, in microseconds; default 2000. */
  readonly sliceUs?: number;
}

/**
 * A byte transport to an emulated probe in the same process.
 *
 * In virtual time the probe runs in slices with a turn of the event loop after each, and stands
 * still while {@link hold} is in force. So a host that answers each delivery within its turn, or
 * holds, writes at the same probe times in every run, and the same seed gives the same bytes.
 * Opening resets the probe, as a serial port's control line does on many boards.
 */
export class SimTransport implements Transport {
  readonly path: string;
  readonly probe: EmulatedProbe;
  /** In virtual time: time-outs by the probe's clock. */
  readonly timers?: Timers;
  readonly #probeTimers: ProbeTimers;
  readonly #pacer: Pacer | null;
  readonly #sliceUs: number;
  #dataListeners: ((bytes: Uint8Array) => void)[] = [];
  #closeListeners: ((why: string) => void)[] = [];
  #isOpen = false;
  #holds = 0;
  #running = false;
  #outgoing: number[] = [];

  constructor(options: SimTransportOptions) {
    this.probe = options.probe;
    this.path = options.path ?? 'sim:';
    this.#pacer = options.realTime === true ? new Pacer() : null;
    this.#sliceUs = options.sliceUs ?? sliceUs;
    this.#probeTimers = new ProbeTimers(() => this.probe.nowUs);
    if (this.#pacer === null) this.timers = this.#probeTimers;
  }

  /**
   * Times that probe time slipped behind the wall clock because the machine was too busy; 0 in
   * virtual time.
   */
  get timeSlips(): number {
    return this.#pacer?.slips ?? 0;
  }

  /** Opens the port and resets the probe. */
  async open(): Promise<void> {
    if (this.#isOpen) return;
    const { probe } = this;
    if (probe.isOff) probe.reset('powerOn');
    else if (probe.nowUs > 0) probe.reset('external');
    this.#isOpen = true;
    this.#probeTimers.start();
    this.#outgoing = [];
    probe.onByte = (byte) => {
      this.#outgoing.push(byte);
    };
    this.#start();
  }

  /** Puts bytes on the line to the probe, from the probe's present time on. */
  async write(bytes: Uint8Array): Promise<void> {
    if (this.#isOpen) this.probe.write(bytes);
  }

  onData(listener: (bytes: Uint8Array) => void): void {
    this.#dataListeners.push(listener);
  }

  onClose(listener: (why: string) => void): void {
    this.#closeListeners.push(listener);
  }

  async close(): Promise<void> {
    this.#end('closed by the host');
  }

  /** Resets the probe as the reset pin does. */
  async pulseReset(): Promise<void> {
    this.probe.reset('external');
  }

  /** Stops the probe's clock; it goes on when every hold's returned function has been called. */
  hold(): () => void {
    this.#holds++;
    let released = false;
    return () => {
      if (released) return;
      released = true;
      this.#holds--;
      this.#start();
    };
  }

  /**
   * Pulls the plug: the probe loses its supply and the port is gone. Opening it again, by this
   * transport or another one, plugs it in.
   */
  unplug(): void {
    this.probe.switchOff();
    this.#end('unplugged');
  }

  #end(why: string): void {
    if (!this.#isOpen) return;
    this.#isOpen = false;
    this.#outgoing = [];
    for (const listener of this.#closeListeners) listener(why);
    this.#probeTimers.stop();
  }

  get #mayRun(): boolean {
    return this.#isOpen && this.#holds === 0;
  }

  #start(): void {
    if (this.#running || !this.#mayRun) return;
    this.#running = true;
    this.#pacer?.begin(this.probe.nowUs);
    this.#schedule();
  }

  #schedule(): void {
    if (this.#pacer !== null) setTimeout(this.#turn, realTimeTurnMs);
    else setImmediate(this.#turn);
  }

  readonly #turn = (): void => {
    if (!this.#mayRun) {
      this.#running = false;
      return;
    }
    const { nowUs } = this.probe;
    this.probe.runUntilUs(this.#pacer?.targetUs(nowUs) ?? nowUs + this.#sliceUs);
    this.#deliver();
    this.#probeTimers.runDue();
    this.#schedule();
  };

  #deliver(): void {
    if (this.#outgoing.length === 0) return;
    const bytes = Uint8Array.from(this.#outgoing);
    this.#outgoing = [];
    for (const listener of this.#dataListeners) listener(bytes);
  }
}
