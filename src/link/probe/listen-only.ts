import { identityOf } from '../../protocol/flags.ts';
import { FrameDecoder } from '../../protocol/frame-decoder.ts';
import { decodePayload, type Message, type OkAnswer } from '../../protocol/messages.ts';
import { readByteLog } from '../recording/byte-log.ts';
import { widestPayload } from './connection.ts';
import type { LinkCounters, LinkItem } from './link-item.ts';
import { NoticeTracker } from './notice-tracker.ts';

/**
 * Gives `onItem` what a recorded byte stream says, in order, and returns the counts. Nothing is
 * asked of anyone.
 *
 * `file`: a byte log, of which the received bytes count, or bare bytes as they came from a probe.
 * Readings and events are the same items as on a live link. `connected` comes for each answer to
 * hello in it; `disconnected` where a log says that the port closed.
 */
export function listenOnly(
  file: Uint8Array,
  onItem: (item: LinkItem) => void,
  onAnswer: (answer: OkAnswer) => void = () => undefined,
): LinkCounters {
  const tracker = new NoticeTracker(onItem);
  const counts = { unknownMessages: 0, malformedMessages: 0, refusals: 0, reconnects: 0 };
  const past = { frames: 0, crcErrors: 0, badEscapes: 0, oversize: 0, runts: 0, bytes: 0 };
  let decoder = new FrameDecoder(widestPayload);
  let bootCount: number | null = null;
  let connections = 0;

  const take = (message: Message): void => {
    if (message.kind === 'malformed') counts.malformedMessages++;
    else if (message.kind === 'unknown') counts.unknownMessages++;
    else if (message.kind !== 'answer') counts.malformedMessages += tracker.take(message) ? 0 : 1;
    else if (message.status !== 'ok') counts.refusals++;
    else {
      onAnswer(message);
      takeAnswer(message);
    }
  };
  const takeAnswer = (message: OkAnswer): void => {
    if (message.request === 'start') tracker.startReadings();
    else if (message.request === 'hello') {
      if (message.bootCount !== bootCount) tracker.restart(false);
      bootCount = message.bootCount;
      tracker.clockIs(message.clockUs);
      onItem({ kind: 'connected', identity: identityOf(message) });
    }
  };
  for (const { kind, bytes } of readByteLog(file).records) {
    if (kind === 'received') decoder.push(bytes, (payload) => take(decodePayload(payload)));
    else if (kind === 'closed') onItem({ kind: 'disconnected', why: new TextDecoder().decode(bytes) });
    else if (kind === 'opened') {
      if (++connections > 1) counts.reconnects++;
      add(past, decoder.counters);
      decoder = new FrameDecoder(widestPayload);
      tracker.restart(true);
    }
  }
  add(past, decoder.counters);
  return { ...past, retries: 0, strayAnswers: 0, ...tracker.counters, ...counts };
}

function add<T extends Record<keyof T, number>>(sum: T, more: T): void {
  for (const name of Object.keys(sum) as (keyof T)[]) sum[name] = (sum[name] + more[name]) as T[keyof T];
}
