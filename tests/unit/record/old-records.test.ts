import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { verifyRecord } from '../../../src/verify/verify.ts';

const folder = new URL('../../fixtures/records/', import.meta.url);

/** What the program of its time said of each record. A record is added here when entries get a new form; none is ever changed. */
const told: Record<string, { result: string; lastSha256: string; signature: { state: string } }> = {
  'format-1-first.owjob': {
    result: 'failed',
    lastSha256: '841df51e745be2b82b62b0bb883f6752a00ed0ee4c5155dbd9f5a8a6ad2937d9',
    signature: { state: 'none' },
  },
  // a job with a customer kept apart, concluded and signed
  'format-1-signed.owjob': {
    result: 'passed',
    lastSha256: '09779aa19dbc00ba27dcb4bebc2e94228ea5a54724ca38ff0c173be917963391',
    signature: { state: 'holds' },
  },
};

describe('records of earlier versions', () => {
  it.each(readdirSync(folder))('%s verifies, and says what it said then', (name) => {
    const report = verifyRecord(readFileSync(new URL(name, folder)));
    expect(report.departures).toEqual([]);
    expect(report).toMatchObject(told[name] ?? { result: 'a record that is listed above' });
  });
});
