// The real firmware on the emulated chip with hands over a device, driven in probe time as fast as it goes.
import { TestBench, type TipName, type TipPlace } from '../../sim/bench.ts';
import { Device } from '../../sim/device/device.ts';
import { Hands } from '../../sim/hands/hands.ts';
import { EmulatedProbe } from '../../sim/probe/emulated-probe.ts';
import type { Fault, Guide } from '../../src/guide/types.ts';
import { NoticeTracker } from '../../src/link/probe/notice-tracker.ts';
import { defaultContactSettings } from '../../src/measure/contact/contact-settings.ts';
import { ContactTracker, startContact } from '../../src/measure/contact/contact-tracker.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import type { ContactEvent, Level } from '../../src/measure/types.ts';
import { FrameDecoder } from '../../src/protocol/frame-decoder.ts';
import { decodePayload, encodeRequest, type Notice, type Request } from '../../src/protocol/messages.ts';

const bootUs = 200_000;
const stepUs = 1_000;
const keepAliveUs = 100_000;
/** A touch without an outcome is given up after this. */
const touchEndsUs = 4_000_000;

/** A stretch of time in which both tips were on pads, in probe time. */
export interface Closure {
  readonly madeUs: number;
  brokeUs: number;
}

/** A bench that keeps when both tips were on pads: the truth about makes and breaks. */
class WatchedBench extends TestBench {
  readonly closures: Closure[] = [];
  #closed = false;

  override setTip(name: TipName, place: TipPlace, forceNewton: number): void {
    super.setTip(name, place, forceNewton);
    const closed = this.tipAt('a').on === 'pad' && this.tipAt('b').on === 'pad';
    if (closed === this.#closed) return;
    this.#closed = closed;
    if (closed) this.closures.push({ madeUs: this.clock.nowUs, brokeUs: Number.POSITIVE_INFINITY });
    else this.closures.at(-1)!.brokeUs = this.clock.nowUs;
  }
}

/** A touch as it went. */
export interface TouchTaken {
  /** Null: nothing came of it. */
  readonly outcome: Extract<ContactEvent, { kind: 'captured' | 'unsteady' }> | null;
  /** Probe time at which the last byte of the frame that settled it had arrived. */
  readonly knownAtUs: number;
  /** When the tips really met and parted since the last touch. */
  readonly closures: readonly Closure[];
}

/** Options of {@link TouchRig}. */
export interface TouchRigOptions {
  readonly guide: Guide;
  readonly seed: number;
  readonly level?: Level;
  readonly faults?: readonly Fault[];
  readonly rate?: 'standard' | 'fast';
  /** Readings in a frame; default 8, what a session asks for. */
  readonly batch?: number;
}

/** Probe, device, hands and the host's decoding; nothing of it uses a clock but the probe's. */
export class TouchRig {
  readonly device: Device;
  readonly probe: EmulatedProbe;
  /** Called for each notice as it stands on the wire. */
  onNotice: (notice: Notice) => void = () => undefined;
  /** Readings that came in so far. */
  readings = 0;
  private readonly bench: WatchedBench;
  private readonly hands: Hands;
  private readonly decoder = new FrameDecoder();
  private readonly tracker = new ContactTracker(startContact(defaultContactSettings, nominalCalibration));
  private readonly notices: NoticeTracker;
  private seq = 0;
  private askedUs = 0;
  private answered = false;
  private outcome: TouchTaken['outcome'] = null;
  private knownAtUs = 0;
  private lifted = true;

  constructor(options: TouchRigOptions) {
    const { guide, seed, faults = [], level = 'normal', rate = 'standard', batch = 8 } = options;
    this.device = new Device({ guide, faults, seed });
    this.bench = new WatchedBench(this.device);
    this.probe = new EmulatedProbe({ seed, world: this.bench, serial: seed });
    this.hands = new Hands({ bench: this.bench, seed, button: (down) => this.probe.button(down) });
    this.notices = new NoticeTracker((item) => {
      if (item.kind === 'gap') throw new Error(`a gap on a line without faults: ${item.text}`);
      if (item.kind !== 'readings') return;
      this.readings += item.batch.codes.length;
      for (const contactEvent of this.tracker.push(item.batch)) this.note(contactEvent);
    });
    this.probe.onByte = (byte, tUs) => {
      this.decoder.push(Uint8Array.of(byte), (payload) => this.take(payload, tUs));
    };
    this.probe.runUntilUs(bootUs);
    this.ask({ type: 'hello', hostMajor: 1, hostMinor: 0 });
    this.ask({ type: 'start', rate, batch });
    this.ask({ type: 'mode', mode: 'resistance', level, range: 'auto', input: 'tips' });
  }

  /** Has the hands touch two pads and lift again once there is an outcome. */
  touch(padA: string, padB: string): TouchTaken {
    const before = this.bench.closures.length;
    const endUs = this.probe.nowUs + touchEndsUs;
    this.outcome = null;
    this.hands.perform([{ do: 'touch', pads: [padA, padB] }]);
    while (this.outcome === null && this.probe.nowUs < endUs) this.run(stepUs);
    const { outcome, knownAtUs } = this;
    this.hands.perform([{ do: 'lift' }]);
    const liftEndUs = this.probe.nowUs + touchEndsUs;
    while ((this.hands.isBusy || !this.lifted) && this.probe.nowUs < liftEndUs) this.run(stepUs);
    return { outcome, knownAtUs, closures: this.bench.closures.slice(before) };
  }

  /** Lets probe time pass, with keep-alives as a live host sends them. */
  run(us: number): void {
    const { probe } = this;
    if (probe.nowUs - this.askedUs >= keepAliveUs) this.send({ type: 'keepAlive' });
    probe.runUntilUs(probe.nowUs + us);
  }

  private send(request: Request): void {
    this.askedUs = this.probe.nowUs;
    this.seq = (this.seq + 1) & 0xff;
    this.probe.write(encodeRequest(request, this.seq));
  }

  private ask(request: Request): void {
    this.answered = false;
    this.send(request);
    for (let tries = 0; tries < 100 && !this.answered; tries++) this.run(stepUs);
    if (!this.answered) throw new Error(`no answer to ${request.type}`);
  }

  private take(payload: Uint8Array, tUs: number): void {
    const message = decodePayload(payload);
    this.knownAtUs = this.outcome === null ? tUs : this.knownAtUs;
    if (message.kind === 'answer') {
      if (message.status !== 'ok') throw new Error(`${message.request} was refused: ${message.status}`);
      this.answered = true;
    } else if (message.kind === 'readings' || message.kind === 'event') {
      this.onNotice(message);
      this.notices.take(message);
    } else if (message.kind === 'malformed') {
      throw new Error(message.why);
    }
  }

  private note(contactEvent: ContactEvent): void {
    if (contactEvent.kind === 'make') this.lifted = false;
    if (contactEvent.kind === 'lift') this.lifted = true;
    if (contactEvent.kind === 'captured' || contactEvent.kind === 'unsteady') this.outcome ??= contactEvent;
  }
}
