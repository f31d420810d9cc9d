import { readFileSync } from 'node:fs';
import { readByteLog } from '../../../src/link/recording/byte-log.ts';
import { recordedConnections } from '../../../src/link/recording/recorded-line.ts';
import type { FuzzTarget } from '../target.ts';

/** The bytes of a session as they were kept, up to the connections in them. */
export const byteLog: FuzzTarget = {
  name: 'byte-log',
  executions: 200_000,
  mostBytes: 3_000,
  mostSteps: { base: 1_000, aByte: 60 },
  words: [
    'ohmwright bytes 1\n',
    'o',
    'r\u0000\u0000\u0000\u0000\u0004\u0000',
    'c\u0000\u0000\u0000\u0000\u0000\u0000',
    '\u00c0',
  ],
  seeds: () => [
    new Uint8Array(readFileSync(new URL('../../../examples/field-recorder.owbytes', import.meta.url))).slice(0, 2_000),
  ],
  run(bytes) {
    const { bare, records: pieces } = readByteLog(bytes);
    return { bare, connections: recordedConnections(pieces) };
  },
};
