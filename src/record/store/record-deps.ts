import { randomBytes } from 'node:crypto';
import { type Disk, realDisk } from './disk.ts';
import { type LockSelf, lockSelf } from './lock-holder.ts';

/** What a record is joined to; each has a default. */
export interface RecordDeps {
  disk?: Disk;
  /**
   * Host time in milliseconds since 1970; it may go back, the entries' numbers give their order.
   */
  clock?: () => number;
  /** Returns that many random bytes, for a job's id. */
  random?: (bytes: number) => Uint8Array;
  self?: LockSelf;
}

/** Returns what a record is joined to, all of it. */
export function withDefaults(deps: RecordDeps): Required<RecordDeps> {
  return {
    disk: deps.disk ?? realDisk,
    clock: deps.clock ?? Date.now,
    random: deps.random ?? randomBytes,
    self: deps.self ?? lockSelf(),
  };
}
