import type { DecoderCounters } from '../../protocol/frame-decoder.ts';
import type { Connection } from './connection.ts';
import type { RequestCounters } from './request-queue.ts';

type ConnectionCounters = DecoderCounters & RequestCounters;

/**
 * Sums the counters of connections that are over, so that a session's counts go on over a
 * reconnect.
 */
export class PastConnections {
  #sum: ConnectionCounters = {
    frames: 0,
    crcErrors: 0,
    badEscapes: 0,
    oversize: 0,
    runts: 0,
    bytes: 0,
    retries: 0,
    strayAnswers: 0,
    refusals: 0,
  };

  /** Adds a connection that is over. */
  add(connection: Connection): void {
    this.#sum = this.with(connection);
  }

  /** Returns the sum with the counts of the present connection, if there is one. */
  with(present: Connection | null): ConnectionCounters {
    const sum = { ...this.#sum };
    if (present === null) return sum;
    const counters: ConnectionCounters = { ...present.decoder.counters, ...present.requests.counters };
    for (const name of Object.keys(sum) as (keyof ConnectionCounters)[]) sum[name] += counters[name];
    return sum;
  }
}
