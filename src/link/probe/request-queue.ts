import type { Timers } from '../../ports/timers.ts';
import { type Answer, type AnswerOf, encodeRequest, type OkAnswer, type Request } from '../../protocol/messages.ts';
import { countTable, statusTable, timeoutTable } from '../../protocol/table.ts';
import { LinkError } from '../link-error.ts';

interface Job {
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

/** What a queue is joined to. */
export interface QueueJoints {
  timers: Timers;
  /** Puts a frame on the line. */
  write(frame: Uint8Array): void;
  /** A request stayed without an answer. */
  onDead(why: string): void;
}

/**
 * Requests one at a time: the next goes out when the one before is answered (the probe has room for one).
 *
 * A request without an answer is sent again as the same frame, so that a probe which did carry it out repeats its
 * answer. Answers that nobody waits for any more are counted and ignored.
 */
export class RequestQueue {
  readonly counters: RequestCounters = { retries: 0, strayAnswers: 0, refusals: 0 };
  readonly #joints: QueueJoints;
  readonly #waiting: Job[] = [];
  #current: Job | null = null;
  #nextSeq = 0;

  constructor(joints: QueueJoints) {
    this.#joints = joints;
  }

  /** No request is under way or waits. */
  get isIdle(): boolean {
    return this.#current === null && this.#waiting.length === 0;
  }

  /**
   * Sends a request in its turn and returns the answer.
   *
   * Aborting gives up the answer, not the request: one that is on the line is still brought to its end.
   * @throws LinkError `link.refused` (with the status), `link.no-answer`, or what {@link fail} was given
   */
  send<R extends Request>(request: R, options: SendOptions = {}): Promise<AnswerOf<R>> {
    const { signal } = options;
    return new Promise<OkAnswer>((resolve, reject) => {
      if (signal?.aborted) {
        reject(signal.reason);
        return;
      }
      const abort = () => {
        const at = this.#waiting.indexOf(job);
        if (at >= 0) this.#waiting.splice(at, 1);
        reject(signal?.reason);
      };
      const job: Job = {
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
      this.#waiting.push(job);
      this.#next();
    }) as Promise<AnswerOf<R>>;
  }

  /** Takes an answer from the line; returns true when it is the one waited for. */
  take(answer: Answer): boolean {
    const job = this.#current;
    if (job === null || answer.seq !== job.seq || answer.request !== job.request.type) {
      this.counters.strayAnswers++;
      return false;
    }
    this.#joints.timers.clear(job.timer);
    this.#current = null;
    if (answer.status === 'ok') job.resolve(answer);
    else {
      this.counters.refusals++;
      job.reject(refused(job.request, answer.status, answer.status === 'unlisted' ? answer.statusCode : null));
    }
    this.#next();
    return true;
  }

  /** Rejects every request, under way or waiting. */
  fail(error: Error): void {
    const jobs = this.#current === null ? this.#waiting.splice(0) : [this.#current, ...this.#waiting.splice(0)];
    if (this.#current !== null) this.#joints.timers.clear(this.#current.timer);
    this.#current = null;
    for (const job of jobs) job.reject(error);
  }

  #takeSeq(): number {
    const seq = this.#nextSeq;
    this.#nextSeq = (seq + 1) % 256;
    return seq;
  }

  #next(): void {
    if (this.#current !== null) return;
    const job = this.#waiting.shift();
    if (job === undefined) return;
    job.seq = this.#takeSeq();
    try {
      job.frame = encodeRequest(job.request, job.seq);
    } catch (error) {
      job.reject(error as Error);
      this.#next();
      return;
    }
    this.#current = job;
    this.#put(job);
  }

  #put(job: Job): void {
    job.sends++;
    job.timer = this.#joints.timers.set(timeoutTable.answer.ms, () => this.#late(job));
    this.#joints.write(job.frame);
  }

  #late(job: Job): void {
    if (this.#current !== job) return;
    if (job.sends < job.tries) {
      this.counters.retries++;
      this.#put(job);
      return;
    }
    this.#current = null;
    const why = `the probe gave no answer to "${job.request.type}", sent ${job.sends} times`;
    job.reject(new LinkError('link.no-answer', `T${why.slice(1)}.`, { help: 'Check the cable, then connect again.' }));
    if (job.breaksLink) this.#joints.onDead(why);
    this.#next();
  }
}

function refused(request: Request, status: string, statusCode: number | null): LinkError {
  const help =
    statusCode === null ? statusTable[status as keyof typeof statusTable].help : 'a newer probe has its reasons';
  const named = statusCode === null ? status : `status ${statusCode}`;
  return new LinkError('link.refused', `The probe refused "${request.type}": ${help} (${named}).`, { status: named });
}
