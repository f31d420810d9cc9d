import type { Timers } from '../../ports/timers.ts';
import type { Transport } from '../../ports/transport.ts';
import { FrameDecoder } from '../../protocol/frame-decoder.ts';
import { decodePayload, type Message } from '../../protocol/messages.ts';
import { timeoutTable } from '../../protocol/table.ts';
import { linkLost } from '../link-error.ts';
import type { ByteLog } from '../recording/byte-log.ts';
import { RequestQueue } from './request-queue.ts';

/**
 * Longest payload that a hello can announce: a probe of a newer minor version may send longer ones
 * than ours.
 */
export const widestPayload = 255;
/**
 * Silence is counted in so many looks: a host that was busy for longer than the time-out looks only
 * once before it reads what came meanwhile.
 */
const looks = 5;

/** What a connection works with. */
export interface ConnectionDeps {
  timers: Timers;
  byteLog: ByteLog | undefined;
  /** Gets every message, in order, while the call that brought its bytes runs. */
  onMessage(message: Message): void;
  /** A request goes on the line. */
  onSend(): void;
  /**
   * The connection has broken by itself, once: silence, a port that closed, a request without an
   * answer.
   */
  onBroken(cause: 'silence' | 'closed', why: string): void;
}

/**
 * One transport from opening to closing: frames in, requests out, and the first sign that it has
 * broken.
 */
export class Connection {
  readonly transport: Transport;
  readonly decoder = new FrameDecoder(widestPayload);
  readonly requests: RequestQueue;
  readonly #deps: ConnectionDeps;
  #ended = false;
  #silence: unknown = null;

  constructor(transport: Transport, deps: ConnectionDeps) {
    this.transport = transport;
    this.#deps = deps;
    this.requests = new RequestQueue({
      timers: deps.timers,
      write: (frame) => this.#write(frame),
      onDead: (why) => this.#broken('silence', why),
    });
  }

  /** Opens the transport. @throws OhmwrightError `port.*` */
  async open(): Promise<void> {
    const { transport } = this;
    transport.onData((bytes) => {
      if (!this.#ended) this.#take(bytes);
    });
    transport.onClose((why) => this.#broken('closed', why));
    await transport.open();
    this.#deps.byteLog?.opened(transport.path);
  }

  /**
   * Readings are expected from now on, or no longer: without a frame for too long the connection
   * counts as broken.
   */
  expectFrames(expected: boolean): void {
    this.#endSilence();
    if (expected && !this.#ended) this.#look(this.decoder.counters.frames, 0);
  }

  /** Closes the transport; requests that wait fail with `reason`. */
  async close(reason: Error): Promise<void> {
    const wasOpen = !this.#ended;
    this.#end(reason);
    if (wasOpen) this.#deps.byteLog?.closed('closed by the host');
    await this.transport.close();
  }

  #look(frames: number, silentLooks: number): void {
    this.#silence = this.#deps.timers.set(timeoutTable.silence.ms / looks, () => {
      const now = this.decoder.counters.frames;
      const silent = now === frames ? silentLooks + 1 : 0;
      if (silent >= looks) this.#broken('silence', `nothing came from the probe for ${timeoutTable.silence.ms} ms`);
      else this.#look(now, silent);
    });
  }

  #endSilence(): void {
    if (this.#silence !== null) this.#deps.timers.clear(this.#silence);
    this.#silence = null;
  }

  #take(bytes: Uint8Array): void {
    this.#deps.byteLog?.received(bytes);
    this.decoder.push(bytes, (payload) => {
      if (!this.#ended) this.#deps.onMessage(decodePayload(payload));
    });
  }

  #write(frame: Uint8Array): void {
    this.#deps.onSend();
    this.#deps.byteLog?.sent(frame);
    this.transport.write(frame).catch((error: unknown) => {
      this.#broken('closed', error instanceof Error ? error.message : String(error));
    });
  }

  #broken(cause: 'silence' | 'closed', why: string): void {
    if (this.#ended) return;
    this.#deps.byteLog?.closed(why);
    this.#end(linkLost(this.transport.path, why));
    this.#deps.onBroken(cause, why);
  }

  #end(reason: Error): void {
    this.#ended = true;
    this.#endSilence();
    this.requests.fail(reason);
  }
}
