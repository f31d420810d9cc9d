// Run as a process of its own: opens or resumes a record and appends in a loop. Says each entry only once it is captured.
import { writeSync } from 'node:fs';
import { dirname } from 'node:path';
import { sealEntry } from '../../src/record/chain/chain.ts';
import { JobRecord } from '../../src/record/store/record.ts';
import { opening } from './record-opening.ts';

const [, , how, path = '', count = '1000000'] = process.argv;
const say = (what: Record<string, unknown>) => writeSync(1, `${JSON.stringify(what)}\n`);

try {
  const record =
    how === 'create' ? await JobRecord.create(dirname(path), opening, { file: path }) : await JobRecord.resume(path);
  say({ open: process.pid });
  for (let i = 0; i < Number(count); i += 1) {
    // lines of very different length, so that a kill meets short and long writes
    const entry = await record.append({ kind: 'note', text: `${i} ${'x'.repeat((i * 7919) % 5_000)}` });
    const { prev, n, at, ...rest } = entry;
    const sealed = sealEntry(rest, { prev, n, at });
    say({ captured: n, sha256: sealed.ok ? sealed.sha256 : null });
  }
  await record.close();
  say({ closed: process.pid });
} catch (error) {
  say({ refused: (error as { code?: string }).code ?? String(error) });
}
