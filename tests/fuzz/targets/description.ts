import { whyMalformed } from '../../../src/link/probe/malformed-readings.ts';
import { feelsTips, identityOf, readingFlags } from '../../../src/protocol/flags.ts';
import { FrameDecoder } from '../../../src/protocol/frame-decoder.ts';
import { decodePayload, eventName } from '../../../src/protocol/messages.ts';
import type { FuzzTarget } from '../target.ts';
import { goldenFrames } from './frames.ts';

/** The payloads of the golden frames, less their check value. */
function payloads(): Uint8Array[] {
  const found: Uint8Array[] = [];
  for (const frame of goldenFrames()) new FrameDecoder().push(frame, (payload) => found.push(payload));
  return found;
}

/** One payload whose check value held: who a probe says it is, and what it says of its readings and events. */
export const description: FuzzTarget = {
  name: 'description',
  executions: 5_000_000,
  mostBytes: 120,
  mostSteps: { base: 20_000, aByte: 40 },
  words: ['\u0081\u0000\u0000', '\u0040', '\u0041', '\u0042', '\u00ff\u00ff\u00ff\u00ff'],
  seeds: payloads,
  run(payload) {
    const message = decodePayload(payload);
    if (message.kind === 'answer' && message.status === 'ok' && message.request === 'hello') {
      const identity = identityOf(message);
      return { identity, feelsTips: feelsTips(identity) };
    }
    if (message.kind === 'event') return { message, name: eventName(message.code) };
    if (message.kind === 'readings') {
      return { message, flags: readingFlags(message.flags), why: whyMalformed(message, message.tUs, null) };
    }
    return message;
  },
};
