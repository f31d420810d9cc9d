import { type CalibrationBlockState, decodeCalibrationBlock } from '../protocol/calibration-block.ts';
import { FrameDecoder } from '../protocol/frame-decoder.ts';
import { type AnswerOf, decodePayload, type OkAnswer, type ProbeIdentity, type Request } from '../protocol/messages.ts';
import { limitTable, timeoutTable } from '../protocol/table.ts';
import type { ByteLog } from './byte-log.ts';
import { notAProbe, welcome, wrongVersion } from './handshake.ts';
import { LinkError } from './link-error.ts';
import type { LinkCounters, LinkItem } from './link-item.ts';
import { RequestQueue } from './requests.ts';
import { StreamWatch } from './stream-watch.ts';
import { type HostClock, systemClock, type Transport } from './transport.ts';

export type { LinkCounters, LinkItem } from './link-item.ts';

/** Options of a link. */
export interface LinkOptions {
  /** Gets every item, in order, while the call that brought its bytes runs. */
  onItem(item: LinkItem): void;
  /** Stops connecting and reconnecting. */
  signal?: AbortSignal;
  /** Keeps every byte of the session. */
  byteLog?: ByteLog;
  /** Goes on looking for the same probe after the link broke; default false. */
  reconnect?: boolean;
  clock?: HostClock;
}

/** First and longest pause before another try to reconnect, in milliseconds. */
const backOffMs = { first: 250, longest: 4000 } as const;

/** A connection to one probe, with its requests, its stream of items, and its way back after trouble. */
export class ProbeLink {
  readonly #factory: () => Transport | Promise<Transport>;
  readonly #options: LinkOptions;
  readonly #clock: HostClock;
  readonly #counters: LinkCounters = newCounters();
  readonly #watch = new StreamWatch(this.#counters);
  readonly #requests: RequestQueue;
  #transport: Transport | null = null;
  #decoder = new FrameDecoder();
  #identity: ProbeIdentity | null = null;
  #state: 'connecting' | 'up' | 'down' | 'closed' = 'connecting';
  #streaming = false;
  #askedAtUs = 0;
  #endSilence: () => void = () => undefined;

  private constructor(factory: () => Transport | Promise<Transport>, options: LinkOptions) {
    this.#factory = factory;
    this.#options = options;
    this.#clock = options.clock ?? systemClock;
    this.#requests = new RequestQueue(
      (frame) => this.#write(frame),
      this.#clock,
      this.#counters,
      (why) => this.#broken('silence', why),
    );
  }

  /**
   * Opens a port and returns the link once a probe has answered on it; `connected` is the first item.
   *
   * @throws OhmwrightError `port.*` when the port can't be opened; LinkError `link.not-a-probe`, `link.wrong-version`, `link.aborted`
   */
  static async connect(factory: () => Transport | Promise<Transport>, options: LinkOptions): Promise<ProbeLink> {
    const link = new ProbeLink(factory, options);
    try {
      await link.#open();
    } catch (error) {
      await link.close();
      throw error;
    }
    return link;
  }

  /** What the probe said of itself when it was last connected. */
  get identity(): ProbeIdentity {
    return this.#identity!;
  }

  get path(): string {
    return this.#transport?.path ?? '';
  }

  /** Returns counts over the whole session. */
  counters(): LinkCounters {
    const { frames, crcErrors, badEscapes, oversize, runts, bytes } = this.#decoder.counters;
    const c = this.#counters;
    return {
      ...c,
      frames: c.frames + frames,
      crcErrors: c.crcErrors + crcErrors,
      badEscapes: c.badEscapes + badEscapes,
      oversize: c.oversize + oversize,
      runts: c.runts + runts,
      bytes: c.bytes + bytes,
    };
  }

  /** Sends a request and returns the fields of its answer. @throws LinkError `link.refused`, `link.no-answer`, `link.lost`, `link.closed` */
  async request<R extends Request>(request: R): Promise<AnswerOf<R>> {
    if (this.#state !== 'up') throw lost(this.#state === 'closed');
    const answer = await this.#requests.ask(request);
    if (request.type === 'start') {
      this.#watch.restartIndex();
      this.#streaming = true;
      this.#listenForSilence();
    }
    if (request.type === 'stop') {
      this.#streaming = false;
      this.#endSilence();
    }
    return answer;
  }

  /** Reads the probe's calibration area and returns what it holds. */
  async readCalibration(): Promise<CalibrationBlockState> {
    const size = limitTable.calibrationBytes;
    const bytes = new Uint8Array(size);
    for (let offset = 0; offset < size; offset += limitTable.dataMaxBytes) {
      const { data } = await this.request({ type: 'calRead', offset, count: limitTable.dataMaxBytes });
      bytes.set(data.subarray(0, size - offset), offset);
      if (offset === 0 && data.every((b) => b === 0xff)) return { state: 'blank' };
    }
    return decodeCalibrationBlock(bytes);
  }

  /** Switches the probe off as far as it answers, and closes the port. */
  async close(): Promise<void> {
    if (this.#state === 'closed') return;
    if (this.#state === 'up') {
      await this.#askInTime({ type: 'mode', mode: 'off', level: 'normal', range: 'auto', input: 'tips' });
      await this.#askInTime({ type: 'stop' });
    }
    this.#state = 'closed';
    this.#endSilence();
    this.#requests.fail(lost(true));
    await this.#transport?.close();
  }

  /** A last word to a probe that may be gone: an answer is welcome, none is no error. */
  async #askInTime(request: Request): Promise<void> {
    await this.request(request).catch((error: unknown) => {
      if (!(error instanceof LinkError)) throw error;
    });
  }

  async #open(): Promise<void> {
    this.#options.signal?.throwIfAborted();
    this.#state = 'connecting';
    const transport = await this.#factory();
    this.#transport = transport;
    this.#keepDecoderCounters();
    this.#watch.restart();
    transport.onData((bytes) => {
      if (transport === this.#transport) this.#take(bytes);
    });
    transport.onClose((why) => {
      if (transport === this.#transport && this.#state === 'up') this.#broken('closed', why);
    });
    await transport.open();
    await this.#handshake();
  }

  /** Says hello until the probe answers; opening may have reset it, so that takes a while. */
  async #handshake(): Promise<void> {
    const transport = this.#transport!;
    let hello = await this.#hello();
    if (hello === null && transport.pulseReset !== undefined) {
      await transport.pulseReset();
      hello = await this.#hello();
    }
    if (hello === null) {
      const { bytes, frames } = this.#decoder.counters;
      throw notAProbe(transport.path, bytes, frames);
    }
    const identity = welcome(hello, transport.path);
    if (this.#identity !== null && identity.probeSerial !== this.#identity.probeSerial) {
      throw new LinkError(
        'link.other-probe',
        `Another probe is on ${transport.path} now.`,
        'Plug the first one in again, or end the job and resume it with the other.',
      );
    }
    this.#identity = identity;
    this.#state = 'up';
    this.#streaming = false;
    this.#askedAtUs = this.#watch.nowUs ?? 0;
    this.#options.onItem({ kind: 'connected', identity });
  }

  async #hello(): Promise<OkAnswer<'hello'> | null> {
    const until = this.#clock.nowMs() + timeoutTable.helloAfterOpen.ms;
    while (this.#clock.nowMs() < until && this.#state !== 'closed') {
      this.#options.signal?.throwIfAborted();
      try {
        return await this.#requests.ask({ type: 'hello', hostMajor: 1, hostMinor: 0 });
      } catch (error) {
        if (!(error instanceof LinkError)) throw error;
        if (error.status === 'wrongVersion') throw wrongVersion(this.#transport!.path, 'of another major number');
      }
    }
    return null;
  }

  #write(frame: Uint8Array): void {
    this.#askedAtUs = this.#watch.nowUs ?? 0;
    this.#options.byteLog?.sent(frame);
    this.#transport?.write(frame).catch((error: unknown) => {
      if (this.#state === 'up') this.#broken('closed', error instanceof Error ? error.message : String(error));
    });
  }

  #take(bytes: Uint8Array): void {
    this.#options.byteLog?.received(bytes);
    this.#decoder.push(bytes, (payload) => this.#payload(payload));
    if (this.#streaming) this.#listenForSilence();
  }

  #payload(payload: Uint8Array): void {
    const message = decodePayload(payload);
    switch (message.kind) {
      case 'answer':
        this.#requests.answer(message);
        return;
      case 'readings':
        if (this.#state !== 'up') return;
        for (const item of this.#watch.readings(message)) this.#options.onItem(item);
        this.#keepAlive();
        return;
      case 'event':
        if (this.#state !== 'up') return;
        for (const item of this.#watch.event(message)) this.#options.onItem(item);
        return;
      case 'boot':
        if (this.#state === 'up') this.#wasReset();
        return;
      case 'malformed':
        this.#counters.malformed += 1;
        return;
      default:
        this.#counters.unknown += 1;
    }
  }

  /** While readings are worked on, the probe hears of it: by its own clock, so that a stalled host lets a bridge open. */
  #keepAlive(): void {
    const nowUs = this.#watch.nowUs ?? 0;
    if (nowUs - this.#askedAtUs < timeoutTable.keepAlive.ms * 1000 || !this.#requests.isIdle) return;
    this.#requests.ask({ type: 'keepAlive' }).catch((error: unknown) => {
      if (!(error instanceof LinkError)) throw error;
    });
  }

  #listenForSilence(): void {
    this.#endSilence();
    this.#endSilence = this.#clock.after(timeoutTable.silence.ms, () =>
      this.#broken('silence', `nothing came for ${timeoutTable.silence.ms} ms`),
    );
  }

  /** The probe booted in mid-session: what it was set to is gone, so it is greeted anew. */
  #wasReset(): void {
    this.#counters.resets += 1;
    this.#down('reset', 'the probe was reset');
    this.#watch.restart();
    this.#state = 'connecting';
    this.#handshake().catch((error: unknown) => this.#failReconnect(error));
  }

  #broken(cause: 'silence' | 'closed', why: string): void {
    if (this.#state !== 'up') return;
    this.#down(cause, why);
    const { reconnect, signal } = this.#options;
    if (reconnect !== true || signal?.aborted === true) return;
    this.#reconnect(backOffMs.first);
  }

  #down(cause: 'reset' | 'silence' | 'closed', why: string): void {
    this.#state = 'down';
    this.#streaming = false;
    this.#endSilence();
    this.#requests.fail(lost(false));
    this.#options.onItem(this.#watch.gap(cause, why));
    this.#options.onItem({ kind: 'disconnected', why });
  }

  #reconnect(waitMs: number): void {
    const again = () => {
      if (this.#state === 'closed' || this.#options.signal?.aborted === true) return;
      const old = this.#transport;
      this.#transport = null;
      (old?.close() ?? Promise.resolve())
        .then(() => this.#open())
        .then(() => {
          this.#counters.reconnects += 1;
        })
        .catch((error: unknown) => {
          if (error instanceof LinkError && error.code === 'link.other-probe') this.#failReconnect(error);
          else this.#reconnect(Math.min(2 * waitMs, backOffMs.longest));
        });
    };
    this.#clock.after(waitMs, again);
  }

  #failReconnect(error: unknown): void {
    this.#state = 'down';
    const why = error instanceof Error ? error.message : String(error);
    this.#options.onItem({ kind: 'disconnected', why });
  }

  #keepDecoderCounters(): void {
    const before = this.counters();
    Object.assign(this.#counters, before);
    this.#decoder = new FrameDecoder();
  }
}

function lost(byUs: boolean): LinkError {
  return byUs
    ? new LinkError('link.closed', 'The link to the probe is closed.', '')
    : new LinkError('link.lost', 'The link to the probe is lost.', 'Check the cable; the job is kept and can be resumed.');
}

function newCounters(): LinkCounters {
  return {
    frames: 0,
    crcErrors: 0,
    badEscapes: 0,
    oversize: 0,
    runts: 0,
    bytes: 0,
    unknown: 0,
    malformed: 0,
    sequenceGaps: 0,
    readings: 0,
    readingsMissing: 0,
    resends: 0,
    refusals: 0,
    reconnects: 0,
    resets: 0,
  };
}
