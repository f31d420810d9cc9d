import type { Timers } from '../../ports/timers.ts';
import type { ByteLog } from '../recording/byte-log.ts';
import type { LinkItem } from './link-item.ts';

/** Options of a link. */
export interface LinkOptions {
  /** Gets every item, in order, while the call that brought its bytes runs. */
  onItem(item: LinkItem): void;
  /** Ends connecting, and the link. */
  signal?: AbortSignal;
  /** Keeps every byte of the session. */
  byteLog?: ByteLog;
  /** Goes on looking for the same probe after the link broke; default false. */
  reconnect?: boolean;
  /** Clock of time-outs; default the transport's own, else the machine's. */
  timers?: Timers;
}
