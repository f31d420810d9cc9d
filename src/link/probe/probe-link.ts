import type { TransportSource } from '../../ports/transport.ts';
import type { CalibrationBlockState } from '../../protocol/calibration-block.ts';
import { identityOf } from '../../protocol/flags.ts';
import {
  type AnswerOf,
  eventName,
  type Message,
  type Notice,
  type OkAnswer,
  type ProbeAnswer,
  type ProbeIdentity,
  type Request,
} from '../../protocol/messages.ts';
import { timeoutTable } from '../../protocol/table.ts';
import { LinkError, linkClosed, linkLost, probeRestarted } from '../link-error.ts';
import { readCalibration } from './calibration-area.ts';
import { Connection } from './connection.ts';
import { checkSameProbe, greet, sayGoodbye } from './handshake.ts';
import { keepTrying } from './keep-trying.ts';
import type { GapCause, LinkCounters } from './link-item.ts';
import type { LinkOptions } from './link-options.ts';
import { MalformedShare } from './malformed-readings.ts';
import { NoticeTracker } from './notice-tracker.ts';
import { PastConnections } from './past-connections.ts';
import { systemTimers } from './system-timers.ts';

export type { LinkCounters, LinkItem } from './link-item.ts';
export type { LinkOptions } from './link-options.ts';

/**
 * A link to one probe: requests, a stream of items, and the way back after trouble.
 *
 * Items come in this order: `connected`, then readings, events and gaps; when the link breaks,
 * `disconnected`, and when the probe is found again, a gap and `connected`. A probe that restarts,
 * or that stopped because it heard nothing, has lost its mode: that is `disconnected`, gap,
 * `connected` as well, over the same port.
 */
export class ProbeLink {
  readonly #source: TransportSource;
  readonly #options: LinkOptions;
  readonly #tracker: NoticeTracker;
  readonly #ending = new AbortController();
  #closed: Promise<void> | null = null;
  #phase: 'connecting' | 'up' | 'greeting' | 'away' | 'closed' = 'connecting';
  #connection: Connection | null = null;
  #identity: ProbeIdentity | null = null;
  /** Probe time of the last request. */
  #askedAtUs = 0;
  /** The gap to tell when the probe is found again. */
  #gap: { cause: GapCause; text: string } | null = null;
  /** Boots while the probe is being greeted: they are expected then. */
  #unseenBoots = 0;
  #malformed = new MalformedShare();
  readonly #past = new PastConnections();
  readonly #counts = { unknownMessages: 0, malformedMessages: 0, reconnects: 0 };

  private constructor(source: TransportSource, options: LinkOptions) {
    this.#source = source;
    this.#options = options;
    this.#tracker = new NoticeTracker(options.onItem);
  }

  /**
   * Opens a port and returns the link once a probe has answered on it; `connected` is the first
   * item.
   *
   * @throws OhmwrightError `port.*` when the port can't be opened; LinkError `link.not-a-probe`,
   *   `link.wrong-version`, `link.lost`; the signal's reason
   */
  static async connect(source: TransportSource, options: LinkOptions): Promise<ProbeLink> {
    const { signal } = options;
    signal?.throwIfAborted();
    const link = new ProbeLink(source, options);
    const abort = () => void link.close();
    signal?.addEventListener('abort', abort, { once: true });
    try {
      await link.#establish();
      return link;
    } catch (error) {
      signal?.removeEventListener('abort', abort);
      await link.close();
      signal?.throwIfAborted();
      throw error;
    }
  }

  /** What the probe said of itself when it was last connected. */
  get identity(): ProbeIdentity {
    return this.#identity!;
  }

  /** The port's name, for people. */
  get path(): string {
    return this.#connection?.transport.path ?? '';
  }

  /**
   * Sends a request in its turn and returns the answer.
   *
   * @throws LinkError `link.refused` (with the status), `link.no-answer`, `link.lost`,
   *   `link.reset`, `link.closed`; the signal's reason
   */
  async request<R extends Request>(request: R, signal?: AbortSignal): Promise<AnswerOf<R>> {
    if (this.#phase !== 'up') throw this.#notUp();
    return await this.#connection!.requests.send(request, signal === undefined ? {} : { signal });
  }

  /** Reads the probe's calibration area and returns what it holds. @throws as {@link request} */
  readCalibration(): Promise<CalibrationBlockState> {
    return readCalibration(this);
  }

  /** Returns counts over the whole session. */
  counters(): LinkCounters {
    return { ...this.#past.with(this.#connection), ...this.#tracker.counters, ...this.#counts };
  }

  /**
   * Switches the probe off as far as it answers, and closes the port. A second call waits for the
   * first.
   */
  close(): Promise<void> {
    this.#closed ??= this.#close();
    return this.#closed;
  }

  async #close(): Promise<void> {
    const wasUp = this.#phase === 'up';
    this.#phase = 'closed';
    this.#ending.abort();
    const connection = this.#connection;
    if (connection === null) return;
    if (wasUp && !connection.transport.isRecording) await sayGoodbye(connection);
    await connection.close(this.#notUp());
  }

  async #establish(): Promise<void> {
    this.#keepCounters();
    const transport = await this.#source();
    const connection: Connection = new Connection(transport, {
      timers: this.#options.timers ?? transport.timers ?? systemTimers,
      byteLog: this.#options.byteLog,
      onMessage: (message) => this.#message(connection, message),
      onSend: () => {
        this.#askedAtUs = this.#tracker.lastUs ?? 0;
      },
      onBroken: (cause, why) => this.#broken(cause, why),
    });
    this.#connection = connection;
    try {
      if (!this.#ending.signal.aborted) await connection.open();
      if (this.#ending.signal.aborted) throw this.#notUp();
      await this.#greet(connection);
    } catch (error) {
      await connection.close(error as Error);
      throw error;
    }
  }

  /** Finds out who answers, stops what may still be running from before, and goes on from there. */
  async #greet(connection: Connection): Promise<void> {
    let hello: OkAnswer<'hello'>;
    let boots: number;
    do {
      hello = await greet(connection);
      boots = this.#unseenBoots;
      checkSameProbe(connection.transport.path, this.#identity, hello);
      await connection.requests.send({ type: 'stop' });
    } while (boots !== this.#unseenBoots); // it answered just before the reset that opening gave it
    if (this.#phase === 'closed') throw this.#notUp();
    this.#welcome(hello);
  }

  #welcome(hello: OkAnswer<'hello'>): void {
    const fromUs = this.#tracker.lastUs;
    const isSameBoot = this.#identity?.bootCount === hello.bootCount;
    this.#tracker.restart(isSameBoot);
    const nowUs = this.#tracker.clockIs(hello.clockUs);
    if (this.#gap !== null) this.#tracker.gap(this.#gap.cause, null, fromUs, isSameBoot ? nowUs : null, this.#gap.text);
    this.#gap = null;
    this.#askedAtUs = nowUs;
    this.#malformed = new MalformedShare();
    this.#identity = identityOf(hello);
    this.#phase = 'up';
    this.#options.onItem({ kind: 'connected', identity: this.#identity });
  }

  #message(connection: Connection, message: Message): void {
    if (connection !== this.#connection) return;
    switch (message.kind) {
      case 'answer':
        this.#answer(connection, message);
        return;
      case 'malformed':
        this.#counts.malformedMessages++;
        return;
      case 'unknown':
        this.#counts.unknownMessages++;
        return;
      default:
        if (this.#phase === 'up') this.#notice(connection, message);
        else if (message.kind === 'boot') this.#unseenBoots++;
    }
  }

  #answer(connection: Connection, answer: ProbeAnswer): void {
    if (!connection.requests.take(answer) || answer.status !== 'ok') return;
    if (answer.request === 'start') this.#tracker.startReadings();
    if (answer.request === 'start' || answer.request === 'stop') connection.expectFrames(answer.request === 'start');
  }

  #notice(connection: Connection, notice: Notice): void {
    if (this.#tracker.showsReset(notice)) {
      this.#interrupted(connection, 'the probe has restarted');
      this.#tracker.reset();
      return;
    }
    const isSound = this.#tracker.take(notice);
    if (!isSound) this.#counts.malformedMessages++;
    if (notice.kind === 'readings') {
      if (this.#malformed.take(!isSound)) {
        this.#broken('closed', 'too many of its readings are none that a probe can have taken');
        return;
      }
      this.#keepAlive(connection);
    }
    if (notice.kind === 'event' && eventName(notice.code) === 'heartbeatLost') {
      this.#gap = {
        cause: 'silence',
        text: 'the probe heard nothing from the host for too long and switched itself off',
      };
      this.#interrupted(connection, this.#gap.text);
    }
  }

  /**
   * While readings are worked on, the probe hears of it, by its own clock: a host that stands still
   * lets a bridge open.
   */
  #keepAlive(connection: Connection): void {
    const ageUs = (this.#tracker.lastUs ?? 0) - this.#askedAtUs;
    if (ageUs < timeoutTable.keepAlive.ms * 1000 || !connection.requests.isIdle) return;
    connection.requests.send({ type: 'keepAlive' }).catch((error: unknown) => {
      if (!(error instanceof LinkError)) throw error; // the link has told of it as an item
    });
  }

  /**
   * The probe has lost its mode; the port is well. What waits fails, and the probe is greeted anew.
   */
  #interrupted(connection: Connection, why: string): void {
    this.#phase = 'greeting';
    connection.expectFrames(false);
    connection.requests.fail(this.#notUp());
    this.#options.onItem({ kind: 'disconnected', why });
    this.#greet(connection).catch((error: unknown) => {
      if (this.#phase !== 'greeting') return;
      const text = error instanceof Error ? error.message : String(error);
      connection.close(error as Error).catch(() => undefined); // a port that cannot even be closed is as lost as any
      this.#lost('closed', text);
    });
  }

  #broken(cause: 'silence' | 'closed', why: string): void {
    if (this.#phase !== 'up' && this.#phase !== 'greeting') return;
    this.#connection?.transport.close().catch(() => undefined); // likewise
    this.#lost(cause, why);
  }

  #lost(cause: 'silence' | 'closed', why: string): void {
    this.#phase = 'away';
    this.#gap ??= { cause, text: `the link was lost: ${why}` };
    this.#options.onItem({ kind: 'disconnected', why });
    if (this.#options.reconnect === true) this.#reconnect().catch((error: unknown) => this.#giveUp(error));
  }

  /** Looks for the same probe until it is found or the link is closed. */
  async #reconnect(): Promise<void> {
    const timers = this.#options.timers ?? systemTimers;
    const onTrouble = (why: string) => this.#options.onItem({ kind: 'disconnected', why });
    const attempt = () => this.#establish();
    if (await keepTrying(attempt, { timers, signal: this.#ending.signal, onTrouble })) this.#counts.reconnects++;
  }

  /** Why no request can be sent now. */
  #notUp(): LinkError {
    if (this.#phase === 'closed') return linkClosed();
    return this.#phase === 'greeting' ? probeRestarted() : linkLost();
  }

  /** An error that no probe and no port can cause: told, since nobody waits for it. */
  #giveUp(error: unknown): void {
    if (this.#phase !== 'closed')
      this.#options.onItem({ kind: 'disconnected', why: `ohmwright itself failed: ${String(error)}` });
  }

  #keepCounters(): void {
    const now = this.#connection;
    this.#connection = null;
    if (now !== null) this.#past.add(now);
  }
}
