import type { Timers } from '../../ports/timers.ts';
import {
  type AnswerOf,
  encodeRequest,
  type OkAnswer,
  type ProbeAnswer,
  type Request,
} from '../../protocol/messages.ts';
import { countTable, statusTable, timeoutTable } from '../../protocol/table.ts';
import { LinkError } from '../link-error.ts';

interface PendingRequest {
  request: Request;
  tries: number;
  breaksLink: boolean;
  frame: Uint8Array;
  seq: number;
  sends: number;
  timer: unknown;
  resolve(answer: OkAnswer): void;
  reject(error: Error): void;
}

/** What a queue has counted. */
export interface RequestCounters {
  /** Requests sent again because no answer came in time. */
  retries: number;
  /** Answers that nobody waited for any more: late, or doubled on the line. */
  strayAnswers: number;
  refusals: number;
}

/** How one request is sent. */
export interface SendOptions {
  /** Sends of the same frame before giving up; default: the table's `answerTries`. */
  tries?: number;
  /** No answer means that the link is broken; default true. */
  breaksLink?: boolean;
  signal?: AbortSignal;
}

/** What a queue works with. */
export interface QueueDeps {
  timers: Timers;
  /** Puts a frame on the line. */
  write(frame: Uint8Array): void;
  /** A request stayed without an answer. */
  onDead(why: string): void;
}

/**
 * Requests one at a time: the next goes out when the one before is answered (the probe has room for
 * one).
 *
 * A request without an answer is sent again as the same frame, so that a probe which did carry it
 * out repeats its answer. Answers that nobody waits for any more are counted and ignored.
 */
export class RequestQueue {
  readonly counters: RequestCounters = { retries: 0, strayAnswers: 0, refusals: 0 };
  readonly #deps: QueueDeps;
  readonly #waiting: PendingRequest[] = [];
  #current: PendingRequest | null = null;
  #nextSeq = 0;

  constructor(deps: QueueDeps) {
    this.#deps = deps;
  }

  /** No request is under way or waits. */
  get isIdle(): boolean {
    return this.#current === null && this.#waiting.length === 0;
  }

  /**
   * Sends a request in its turn and returns the answer.
   *
   * Aborting gives up the answer, not the request: one that is on the line is still brought to its
   * end.
   * @throws LinkError `link.refused` (with the status), `link.no-answer`, or what {@link fail} was
   *   given
   */
  send<R extends Request>(request: R, options: SendOptions = {}): Promise<AnswerOf<R>> {
    const { signal } = options;
    return new Promise<OkAnswer>((resolve, reject) => {
      if (signal?.aborted) {
        reject(signal.reason);
        return;
      }
      const abort = () => {
        const at = this.#waiting.indexOf(pending);
        if (at >= 0) this.#waiting.splice(at, 1);
        reject(signal?.reason);
      };
      const pending: PendingRequest = {
        request,
        tries: options.tries ?? countTable.answerTries.count,
        breaksLink: options.breaksLink ?? true,
        frame: new Uint8Array(),
        seq: 0,
        sends: 0,
        timer: null,
        resolve: (answer) => {
          signal?.removeEventListener('abort', abort);
          resolve(answer);
        },
        reject: (error) => {
          signal?.removeEventListener('abort', abort);
          reject(error);
        },
      };
      signal?.addEventListener('abort', abort, { once: true });
      this.#waiting.push(pending);
      this.#next();
    }) as Promise<AnswerOf<R>>;
  }

  /** Takes an answer from the line; returns true when it is the one waited for. */
  take(answer: ProbeAnswer): boolean {
    const pending = this.#current;
    if (pending === null || answer.seq !== pending.seq || answer.request !== pending.request.type) {
      this.counters.strayAnswers++;
      return false;
    }
    this.#deps.timers.clear(pending.timer);
    this.#current = null;
    if (answer.status === 'ok') pending.resolve(answer);
    else {
      this.counters.refusals++;
      pending.reject(refused(pending.request, answer.status, answer.status === 'unlisted' ? answer.statusCode : null));
    }
    this.#next();
    return true;
  }

  /** Rejects every request, under way or waiting. */
  fail(error: Error): void {
    const all = this.#current === null ? this.#waiting.splice(0) : [this.#current, ...this.#waiting.splice(0)];
    if (this.#current !== null) this.#deps.timers.clear(this.#current.timer);
    this.#current = null;
    for (const pending of all) pending.reject(error);
  }

  #takeSeq(): number {
    const seq = this.#nextSeq;
    this.#nextSeq = (seq + 1) % 256;
    return seq;
  }

  #next(): void {
    if (this.#current !== null) return;
    const pending = this.#waiting.shift();
    if (pending === undefined) return;
    pending.seq = this.#takeSeq();
    try {
      pending.frame = encodeRequest(pending.request, pending.seq);
    } catch (error) {
      pending.reject(error as Error);
      this.#next();
      return;
    }
    this.#current = pending;
    this.#put(pending);
  }

  #put(pending: PendingRequest): void {
    pending.sends++;
    pending.timer = this.#deps.timers.set(timeoutTable.answer.ms, () => this.#late(pending));
    this.#deps.write(pending.frame);
  }

  #late(pending: PendingRequest): void {
    if (this.#current !== pending) return;
    if (pending.sends < pending.tries) {
      this.counters.retries++;
      this.#put(pending);
      return;
    }
    this.#current = null;
    const why = `the probe gave no answer to "${pending.request.type}", sent ${pending.sends} times`;
    pending.reject(
      new LinkError('link.no-answer', `T${why.slice(1)}.`, { help: 'Check the cable, then connect again.' }),
    );
    if (pending.breaksLink) this.#deps.onDead(why);
    this.#next();
  }
}

function refused(request: Request, status: string, statusCode: number | null): LinkError {
  const help =
    statusCode === null ? statusTable[status as keyof typeof statusTable].help : 'a newer probe has its reasons';
  const named = statusCode === null ? status : `status ${statusCode}`;
  return new LinkError('link.refused', `The probe refused "${request.type}": ${help} (${named}).`, { status: named });
}
