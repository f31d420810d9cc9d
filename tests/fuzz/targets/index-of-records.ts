import { parseIndex, sealedIndex, summaryVersion } from '../../../src/verify/folder/jobs-index.ts';
import type { FuzzTarget } from '../target.ts';
import { bytesOf, jsonChanged, textOf } from './text.ts';

const secret = Buffer.from('a secret of this user');
const known = {
  mark: { bytes: 13_650, changedMs: 1.5, enteredMs: 2.25, inode: 7 },
  summary: { path: 'a.owjob', job: 'a', guide: null, device: null, entries: 19, open: false, result: 'passed' },
};

/** The index of a folder, sealed by whoever has the secret. */
export const index: FuzzTarget = {
  name: 'index',
  executions: 200_000,
  mostBytes: 4_000,
  mostSteps: { base: 500, aByte: 10 },
  words: ['"version":', '"jobs":{', '"mark":', '__proto__', 'null', '1e400', '\n'],
  seeds: () =>
    [JSON.stringify({ version: summaryVersion, writtenMs: 5, jobs: { 'a.owjob': known, 'b.owjob': known } })].map(
      bytesOf,
    ),
  restructure: jsonChanged,
  run(bytes) {
    const text = textOf(bytes);
    const taken = (sealed: string) => {
      const parsed = parseIndex(sealed, secret);
      return parsed === null ? null : { writtenMs: parsed.writtenMs, known: [...parsed.known] };
    };
    if (taken(text) !== null) throw new Error('an index that nobody sealed is taken');
    return taken(sealedIndex(text, secret));
  },
};
