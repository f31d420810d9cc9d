import {
  type Answer,
  type AnswerOf,
  encodeRequest,
  type Request,
  type RequestName,
} from '../protocol/messages.ts';
import { timeoutTable } from '../protocol/table.ts';
import { LinkError, refusal } from './link-error.ts';
import type { LinkCounters } from './link-item.ts';
import type { HostClock } from './transport.ts';

interface Waiting {
  request: Request;
  resolve: (answer: Answer) => void;
  reject: (error: Error) => void;
}

/** One request at a time: sends it, waits for its answer, sends the same frame again when none comes in time. */
export class RequestQueue {
  readonly #send: (frame: Uint8Array) => void;
  readonly #clock: HostClock;
  readonly #counters: LinkCounters;
  readonly #onBroken: (why: string) => void;
  readonly #waiting: Waiting[] = [];
  #seq = 0;
  #current: (Waiting & { seq: number; frame: Uint8Array; tries: number; cancel: () => void }) | null = null;

  constructor(
    send: (frame: Uint8Array) => void,
    clock: HostClock,
    counters: LinkCounters,
    onBroken: (why: string) => void,
  ) {
    this.#send = send;
    this.#clock = clock;
    this.#counters = counters;
    this.#onBroken = onBroken;
  }

  get isIdle(): boolean {
    return this.#current === null && this.#waiting.length === 0;
  }

  /** Puts a request at the end of the queue. @throws LinkError `link.refused`, `link.no-answer`, `link.lost` */
  ask<R extends Request>(request: R): Promise<AnswerOf<R>> {
    return new Promise<AnswerOf<R>>((resolve, reject) => {
      this.#waiting.push({ request, resolve: resolve as (answer: Answer) => void, reject });
      this.#next();
    });
  }

  /** Takes an answer; one that nobody waits for (late, or doubled on the line) is dropped. */
  answer(answer: Answer): void {
    const current = this.#current;
    if (current === null || answer.seq !== current.seq || answer.request !== current.request.type) return;
    current.cancel();
    this.#current = null;
    if (answer.status === 'ok') current.resolve(answer);
    else {
      this.#counters.refusals += 1;
      current.reject(refusal(answer.request, answer.status));
    }
    this.#next();
  }

  /** Fails everything that waits. */
  fail(error: Error): void {
    this.#current?.cancel();
    const all = [...(this.#current === null ? [] : [this.#current]), ...this.#waiting];
    this.#current = null;
    this.#waiting.length = 0;
    for (const { reject } of all) reject(error);
  }

  #next(): void {
    if (this.#current !== null) return;
    const first = this.#waiting.shift();
    if (first === undefined) return;
    const seq = this.#seq;
    this.#seq = (this.#seq + 1) & 0xff;
    try {
      const frame = encodeRequest(first.request, seq);
      this.#current = { ...first, seq, frame, tries: 0, cancel: () => undefined };
    } catch (error) {
      first.reject(error as Error);
      this.#next();
      return;
    }
    this.#try();
  }

  #try(): void {
    const current = this.#current!;
    if (current.tries >= timeoutTable.answerTries.ms) {
      const name: RequestName = current.request.type;
      this.#current = null;
      const why = `no answer to '${name}' after ${current.tries} tries`;
      current.reject(new LinkError('link.no-answer', `The probe gave ${why}.`, 'Check the cable and plug the probe in again.'));
      this.#onBroken(why);
      return;
    }
    if (current.tries > 0) this.#counters.resends += 1;
    current.tries += 1;
    current.cancel = this.#clock.after(timeoutTable.answer.ms, () => this.#try());
    this.#send(current.frame);
  }
}
