import { onlyProbe, serialSource } from '../../link/probe/find-probes.ts';
import { type LinkItem, ProbeLink } from '../../link/probe/probe-link.ts';
import { ByteLog } from '../../link/recording/byte-log.ts';
import type { TransportSource } from '../../ports/transport.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import type { Context } from './context.ts';

/**
 * A probe that answers, held open until a session takes it over: a job is opened only when there is
 * one, and to open the port twice would reset the probe twice.
 */
export interface HeldProbe {
  /** Name of the port. */
  port: string;
  /** File that keeps the byte stream from the first byte on; undefined: none was asked for. */
  byteLog: ByteLog | undefined;
  /** Hands the link over, with all that came on it so far; `stop` closes it from now on. */
  take(onItem: (item: LinkItem) => void, stop: AbortSignal): Promise<ProbeLink>;
  /** Closes what no session has taken over. */
  release(): Promise<void>;
}

/** What is asked of a port before a session. */
interface Holding {
  port: string | undefined;
  bytes?: string | undefined;
  force?: boolean;
  /** Default: serial ports. */
  sourceOf?: (path: string) => TransportSource;
}

/**
 * Opens the port that is named, else the only one that a probe is on, and returns what holds it; null
 * for the emulated probe.
 *
 * @throws OhmwrightError `port.*`, LinkError `link.*`; the signal's reason
 */
export async function holdProbe(
  { port, bytes, force = false, sourceOf = serialSource }: Holding,
  { signal }: Pick<Context, 'signal'>,
): Promise<HeldProbe | null> {
  if (port === simulatedPort) return null;
  const path = port ?? (await onlyProbe({ signal }));
  const byteLog = bytes === undefined ? undefined : new ByteLog(bytes, undefined, { force });
  const heard: LinkItem[] = [];
  let tell = (item: LinkItem): void => void heard.push(item);
  const ending = new AbortController();
  const end = (): void => ending.abort(signal.reason);
  signal.addEventListener('abort', end, { once: true });
  const options = { onItem: (item: LinkItem) => tell(item), signal: ending.signal, byteLog, reconnect: true };
  let isTaken = false;
  const release = async (link: ProbeLink | null): Promise<void> => {
    signal.removeEventListener('abort', end);
    if (isTaken) return;
    await link?.close();
    byteLog?.close();
  };
  const link = await ProbeLink.connect(sourceOf(path), options).catch(async (error: unknown) => {
    await release(null);
    throw error;
  });
  return {
    port: path,
    byteLog,
    async take(onItem, stop) {
      isTaken = true;
      signal.removeEventListener('abort', end);
      stop.addEventListener('abort', () => ending.abort(stop.reason), { once: true });
      stop.throwIfAborted();
      // whoever takes it has the promise first, as from a link that connects
      await null;
      for (const item of heard) onItem(item);
      tell = onItem;
      return link;
    },
    release: () => release(link),
  };
}
