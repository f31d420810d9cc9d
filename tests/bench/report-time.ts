import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { firstPrev, openLine, sealEntry } from '../../src/record/chain/chain.ts';
import type { Entry, NewEntry } from '../../src/record/entries/entries.ts';
import { readRecord } from '../../src/record/store/read-record.ts';
import { type ReportData, reportData } from '../../src/report/report-data.ts';
import { verifyRecord } from '../../src/verify/verify.ts';
import { built } from '../support/fake-terminal.ts';
import { type Measured, median } from './benchmark.ts';

export const name = 'report-time';
export const claim = 'the page of a job with 200 checks, against verifying its record once';

const checks = 200;
const rounds = 7;
const sample = fileURLToPath(new URL('../../examples/field-recorder.owjob', import.meta.url));

/** Returns a record of 200 checks: the captures of the sample record again and again. */
function longRecord(): Buffer {
  const entries = readFileSync(sample)
    .toString()
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => openLine(Buffer.from(line)))
    .flatMap((opened) => (opened.ok ? [opened.entry] : []));
  const captures = entries.filter((entry) => entry.kind === 'capture' && entry.attempt === 1);
  const names = Array.from({ length: checks }, (_, i) => `check-${i}`);
  const opening = entries[0] as Entry & { kind: 'opened' };
  const listed = names.map((id) => ({ id, title: `Check ${id}`, kind: 'resistance' }));
  const before = entries.slice(1, entries.indexOf(captures[0]!));
  const all: Entry[] = [
    { ...opening, guide: { ...opening.guide, checks: listed } },
    ...before,
    ...names.map((check, i) => ({ ...captures[i % captures.length]!, check }) as Entry),
  ];
  let prev = firstPrev;
  const lines = all.map((entry, i) => {
    const { prev: _, n: __, at, ...rest } = entry;
    const sealed = sealEntry(rest as NewEntry, { prev, n: i + 1, at });
    if (!sealed.ok) throw new Error(sealed.what);
    prev = sealed.sha256;
    return sealed.line;
  });
  return Buffer.concat(lines);
}

/** Returns the median ratio over rounds; the page's time has the verifying in it. */
export async function measure(): Promise<Measured> {
  const dir = mkdtempSync(join(tmpdir(), 'ohmwright-page-'));
  try {
    const path = join(dir, 'long.owjob');
    writeFileSync(path, longRecord());
    const { reportHtml } = await built<{ reportHtml(data: ReportData): string }>('report/paper/render.js');
    const read = await readRecord(path);
    const pageMs: number[] = [];
    const verifyMs: number[] = [];
    let html = '';
    for (let round = 0; round < rounds; round++) {
      const startMs = performance.now();
      const report = verifyRecord(read.bytes);
      if (!report.ok) throw new Error(`the record does not verify: ${report.departures[0]?.what}`);
      const verifiedMs = performance.now();
      html = reportHtml(reportData(read)!);
      pageMs.push(performance.now() - verifiedMs);
      verifyMs.push(verifiedMs - startMs);
    }
    const shown = Array.from({ length: checks }, (_, i) => `Check check-${i}<`).filter((title) => html.includes(title));
    if (shown.length !== checks) throw new Error(`${shown.length} of ${checks} checks are on the page`);
    return {
      figures: [{ what: 'page of 200 checks in seconds', value: median(pageMs) / 1e3, sense: 'at most', target: 1 }],
      work: { htmlBytes: html.length, checks: shown.length, recordBytes: read.bytes.length },
      numbers: {
        pageMs: median(pageMs),
        verifyMs: median(verifyMs),
      },
    };
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
}
