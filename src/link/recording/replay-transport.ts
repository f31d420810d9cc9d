import { readForeignFile } from '../../files/read-file.ts';
import type { Timers } from '../../ports/timers.ts';
import type { Transport, TransportSource } from '../../ports/transport.ts';
import { FrameDecoder } from '../../protocol/frame-decoder.ts';
import { encodeAnswer, type ProbeAnswer, type RequestName } from '../../protocol/messages.ts';
import { requestTable } from '../../protocol/table.ts';
import { LinkError } from '../link-error.ts';
import { readByteLog } from './byte-log.ts';
import { type RecordedPiece, recordedConnections } from './recorded-line.ts';

/**
 * Requests that change no reading: a program that sends them at other moments than the recorded
 * one, or not at all, gets the same readings. Their recorded answers may be passed over, and
 * missing ones are made up.
 */
const idle: ReadonlySet<RequestName> = new Set(['keepAlive', 'tone', 'stop', 'counters', 'echo']);

/** A recording can't be asked twice, so on it nothing is ever late. */
const noTimeOuts: Timers = { set: () => null, clear: () => undefined, now: () => 0 };

/** The request that waits on the line: what was asked, and the number that the answer must bear. */
interface Asked {
  request: RequestName;
  seq: number;
}

/**
 * Plays one connection of a recording: the bytes of the probe, in order and chunked as recorded, as
 * fast as the host takes them.
 *
 * An answer waits until its request has been written, and bears that one's number; what the probe
 * sent after it waits too. So the program that made the recording, run on it again, sees the same
 * items in the same order. Another program gets the same readings as long as it asks for the same
 * things in the same order; where it leaves one out, the answer is passed over as soon as it asks
 * for the next.
 */
class ReplayTransport implements Transport {
  readonly path: string;
  readonly timers = noTimeOuts;
  readonly isRecording = true;
  readonly #pieces: readonly RecordedPiece[];
  readonly #requests = new FrameDecoder();
  #at = 0;
  #asked: Asked | null = null;
  #dataListeners: ((bytes: Uint8Array) => void)[] = [];
  #closeListeners: ((why: string) => void)[] = [];
  #isOpen = false;
  #holds = 0;
  #scheduled = false;

  constructor(pieces: readonly RecordedPiece[], path: string) {
    this.#pieces = pieces;
    this.path = path;
  }

  async open(): Promise<void> {
    this.#isOpen = true;
    this.#schedule();
  }

  async write(bytes: Uint8Array): Promise<void> {
    if (!this.#isOpen) throw new Error('the recording is at its end');
    this.#requests.push(bytes, (payload) => {
      const request = requestNameOf(payload[0]!);
      if (request !== null) this.#asked = { request, seq: payload[1]! };
    });
    this.#schedule();
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

  /** Stops the playing until the returned function is called. */
  hold(): () => void {
    this.#holds++;
    let released = false;
    return () => {
      if (released) return;
      released = true;
      this.#holds--;
      this.#schedule();
    };
  }

  /** One piece a turn of the event loop, so that the host may ask in between. */
  #schedule(): void {
    if (this.#scheduled || !this.#isOpen || this.#holds > 0) return;
    this.#scheduled = true;
    setImmediate(() => {
      this.#scheduled = false;
      if (this.#isOpen && this.#holds === 0 && this.#step()) this.#schedule();
    });
  }

  /** Plays the next piece; returns false when it must wait for a request. */
  #step(): boolean {
    if (this.#asked !== null && !this.#isAnsweredLater(this.#asked.request)) return this.#answerMissing(this.#asked);
    const piece = this.#pieces[this.#at];
    if (piece === undefined || piece.kind === 'closed') {
      this.#end(piece?.why ?? 'the recording is at its end');
      return false;
    }
    if (piece.kind === 'bytes') this.#deliver(piece.bytes);
    else if (this.#asked?.request === piece.answer.request) this.#answer(piece.answer, this.#asked);
    else if (this.#asked === null && !idle.has(piece.answer.request)) return this.#waitOrEnd();
    this.#at++;
    return true;
  }

  /**
   * Nobody asks for the next answer yet. If only answers are left, nobody need: that is the end.
   */
  #waitOrEnd(): boolean {
    const rest = this.#pieces.slice(this.#at);
    if (rest.every((piece) => piece.kind !== 'bytes')) {
      const last = rest.at(-1);
      this.#end(last?.kind === 'closed' ? last.why : 'the recording is at its end');
    }
    return false;
  }

  /** Whether an answer to this request is still to come. To an idle one: before any that is not. */
  #isAnsweredLater(request: RequestName): boolean {
    for (let i = this.#at; i < this.#pieces.length; i++) {
      const piece = this.#pieces[i]!;
      if (piece.kind !== 'answer') continue;
      if (piece.answer.request === request) return true;
      if (idle.has(request) && !idle.has(piece.answer.request)) return false;
    }
    return false;
  }

  #answerMissing({ request, seq }: Asked): boolean {
    if (!idle.has(request)) {
      this.#end(`the recording holds no answer to "${request}"`);
      return false;
    }
    const empty = Object.fromEntries(
      requestTable[request].answer.map(([name, type]) => [name, type === 'bytes' ? new Uint8Array() : 0]),
    );
    this.#answer({ kind: 'answer', request, seq, status: 'ok', ...empty } as unknown as ProbeAnswer, { request, seq });
    return true;
  }

  #answer(answer: ProbeAnswer, { seq }: Asked): void {
    this.#asked = null;
    this.#deliver(encodeAnswer({ ...answer, seq }));
  }

  #deliver(bytes: Uint8Array): void {
    for (const listener of this.#dataListeners) listener(bytes);
  }

  #end(why: string): void {
    if (!this.#isOpen) return;
    this.#isOpen = false;
    for (const listener of this.#closeListeners) listener(why);
  }
}

function requestNameOf(type: number): RequestName | null {
  const found = Object.entries(requestTable).find(([, entry]) => entry.type === type);
  return found === undefined ? null : (found[0] as RequestName);
}

/**
 * Returns a source that plays the connections of a byte log one after another: the next call, which
 * a link makes to reconnect, plays the next. Beyond the last it throws `link.recording`.
 */
export function replaySource(file: Uint8Array, path: string): TransportSource {
  const connections = recordedConnections(readByteLog(file).records);
  let next = 0;
  return () => {
    const pieces = connections[next++];
    if (pieces !== undefined) return new ReplayTransport(pieces, path);
    const what =
      connections.length === 0 ? `${path} holds no bytes of a probe.` : `The recording ${path} is at its end.`;
    throw new LinkError('link.recording', what, { help: 'Record one with --bytes FILE.' });
  };
}

/** Returns {@link replaySource} of a file. @throws the system's error when it can't be read */
export async function replayFile(path: string): Promise<TransportSource> {
  return replaySource(await readForeignFile(path, 'byte log'), path);
}
