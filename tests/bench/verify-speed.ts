import { hash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { checkChain } from '../../src/verify/chain-check.ts';
import { verifyWhole } from '../../src/verify/conclusions/verify-conclusions.ts';
import { verifyRecord } from '../../src/verify/verify.ts';
import { type Measured, median } from './benchmark.ts';

export const name = 'verify-speed';
export const claim =
  'a record verified, its bare chain and with every outcome derived again, against one SHA-256 of its bytes';

const sample = fileURLToPath(new URL('../../examples/field-recorder.owjob', import.meta.url));
const rounds = 200;

/** Returns the median time of one call in milliseconds. */
function timeOf(work: () => unknown, times: number): number {
  const taken: number[] = [];
  for (let i = 0; i < times; i++) {
    const startMs = performance.now();
    work();
    taken.push(performance.now() - startMs);
  }
  return median(taken.slice(Math.floor(times / 5)));
}

/** Returns medians over rounds on the sample record. */
export async function measure(): Promise<Measured> {
  const bytes = readFileSync(sample);
  const report = verifyRecord(bytes);
  if (!checkChain(bytes).ok || !report.ok) throw new Error('the sample record does not verify');
  const hashMs = timeOf(() => hash('sha256', bytes, 'hex'), rounds);
  const chainMs = timeOf(() => checkChain(bytes), rounds);
  const formMs = timeOf(() => verifyRecord(bytes, { rederive: false }), rounds);
  const wholeMs = timeOf(() => verifyRecord(bytes), rounds);
  const concludedMs = timeOf(() => verifyWhole(bytes), rounds);
  const counted = verifyWhole(bytes).counters.derived;
  return {
    figures: [{ what: 'bare chain / one hash of the bytes', value: chainMs / hashMs, sense: 'at most', target: 6 }],
    work: { entries: report.entries, bytes: bytes.length, outcomes: report.counters.derived, derived: counted },
    numbers: {
      hashMs,
      chainMs,
      formMs,
      wholeMs,
      formToHash: formMs / hashMs,
      wholeToHash: wholeMs / hashMs,
      concludedMs,
      concludedToHash: concludedMs / hashMs,
    },
  };
}
