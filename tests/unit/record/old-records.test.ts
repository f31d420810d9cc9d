import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import { emptyJob, foldEntry, foldJob, foldSteps } from '../../../src/record/state/fold.ts';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';

const folder = new URL('../../fixtures/records/', import.meta.url);

/** What the program of its time said of each record. A record is added here when entries get a new form; none is ever changed. */
const told: Record<string, { result: string; rules: number[]; lastSha256: string; signature: { state: string } }> = {
  'format-1-first.owjob': {
    result: 'failed',
    rules: [1],
    lastSha256: '841df51e745be2b82b62b0bb883f6752a00ed0ee4c5155dbd9f5a8a6ad2937d9',
    signature: { state: 'none' },
  },
  // a job with a customer kept apart, concluded and signed
  'format-1-signed.owjob': {
    result: 'passed',
    rules: [1],
    lastSha256: '09779aa19dbc00ba27dcb4bebc2e94228ea5a54724ca38ff0c173be917963391',
    signature: { state: 'holds' },
  },
  // concluded, repaired, and the same checks passed again
  'format-1-repaired.owjob': {
    result: 'repaired',
    rules: [1],
    lastSha256: '4579873f0bcfe202e65dff860fa93895a85810b52605cc941b7abae758f8e76e',
    signature: { state: 'holds' },
  },
  // a fault was concluded, and nothing was repaired
  'format-1-fault.owjob': {
    result: 'failed',
    rules: [1],
    lastSha256: '97c96f67f6b40d3ebcb81ff482780518e6175be88cc3ee5e8f32fae68ba09619',
    signature: { state: 'holds' },
  },
  // of the program of 0.2.0: left and resumed, a check repeated, one skipped, a voltage on the tips
  'format-1-resumed.owjob': {
    result: 'failed',
    rules: [1],
    lastSha256: '5a3410ce8e491e1c76d2bbd72f78398e8572626231fd353c11445999ab9fc5f1',
    signature: { state: 'holds' },
  },
  // of the program of 0.2.0: nine frames of the probe did not arrive
  'format-1-gap.owjob': {
    result: 'passed',
    rules: [1],
    lastSha256: '8f509525d676a5063550796865f97a4117e5c1b42f57e554c7b9013bcb35e6af',
    signature: { state: 'holds' },
  },
  // the rules in which limits speak: concluded, repaired, and the same checks passed again
  'rules-2-repaired.owjob': {
    result: 'repaired',
    rules: [2],
    lastSha256: 'a92c97e81453bb3efd09e8d465b452a64d01f2e8300d8a396e1623d99b15e519',
    signature: { state: 'holds' },
  },
  // numbered by its bench; concluded and signed, then added to by an addendum: repaired, and signed once more
  'format-2-added.owjob': {
    result: 'repaired',
    rules: [2],
    lastSha256: '3b9eafb79bf2dc33171111f81ecfce1839d3debe9fcc3812750187d2435a8382',
    signature: { state: 'holds' },
  },
};

describe('records of earlier versions', () => {
  test.each(readdirSync(folder))('%s comes to the same at once as entry by entry', (name) => {
    const entries = parseRecord(readFileSync(new URL(name, folder))).lines.map(({ entry }) => entry);
    const states = [emptyJob()];
    for (const entry of entries) states.push(foldEntry(states.at(-1)!, entry));
    expect(foldJob(entries)).toEqual(states.at(-1));
    for (const [at, { before, after }] of [...foldSteps(entries)].entries())
      expect([before(), after()]).toEqual([states[at], states[at + 1]]);
  });

  test.each(readdirSync(folder))('%s verifies, and says what it said then', (name) => {
    const report = verifyWhole(readFileSync(new URL(name, folder)));
    expect(report.departures).toEqual([]);
    expect(report).toMatchObject(told[name] ?? { result: 'a record that is listed above' });
  });
});
