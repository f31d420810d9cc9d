import type { Calibration } from '../measure/types.ts';
import { canonicalJson } from './canonical.ts';
import { sha256 } from './chain.ts';
import type { Entry, EntryOf } from './entries.ts';
import { foldJob } from './fold.ts';
import type { ParsedRecord, RecordDamage, RecordLine } from './parse-record.ts';
import { parseRecord } from './parse-record.ts';
import {
  type Discrepancy,
  type Rederivation,
  rederiveCapture,
  rederiveObservation,
  rederivePresses,
  rederiveProof,
} from './rederive.ts';
import { noteReliance } from './reliance.ts';
import { verifyClosing, verifyOrder } from './verify-order.ts';
import type { Finding, VerifyReport } from './verify-report.ts';

export type { Finding, VerifyReport } from './verify-report.ts';

/**
 * Returns what holds of a record and what does not: the layout, hash and canonical form of each line, the chain, the order of
 * entries, and every outcome derived again from the raw codes under the calibration, limits and rule that stand in the record.
 * Never throws.
 *
 * A chain shows that nothing in it was changed; that it was not written anew as a whole, or cut off at its end, only `lastSha256`
 * kept elsewhere shows.
 */
export function verifyRecord(bytes: Uint8Array): VerifyReport {
  const parsed = parseRecord(bytes);
  const lines = [...parsed.lines, ...parsed.beyond];
  const state = foldJob(lines.map((line) => line.entry));
  const last = lines[lines.length - 1];
  const report: VerifyReport = {
    ok: false,
    job: state.job,
    entries: lines.length,
    departures: fileFindings(parsed),
    notes: [],
    counters: {
      bytes: bytes.length,
      lines: lines.length + parsed.damage.length,
      captures: 0,
      proofs: 0,
      presses: 0,
      observations: 0,
      derived: 0,
      withheld: 0,
    },
    result: state.result,
    lastSha256: last?.sha256 ?? null,
  };
  verifyEvidence(lines, report);
  verifyOrder(lines, report);
  // with lines missing, the closing entry can't be held against them
  if (parsed.damage.length === 0) verifyClosing(lines, report);
  noteReliance(lines, state, report);
  report.departures.sort((a, b) => a.line - b.line);
  report.ok = report.departures.length === 0;
  return report;
}

function fileFindings(parsed: ParsedRecord): Finding[] {
  const found: Finding[] = parsed.damage.map(({ line, code, what }: RecordDamage) => ({ n: null, line, code, what }));
  const { torn, lines } = parsed;
  if (torn !== null) {
    const what = `${torn.why}: ${torn.bytes.length} bytes are no entry; resuming the job sets them aside`;
    found.push({ n: null, line: torn.line, code: 'record.torn', what });
  } else if (parsed.unended) {
    const what = 'the last entry is whole, but the newline behind it is missing; resuming the job adds it';
    found.push({ n: null, line: lines.length + parsed.damage.length, code: 'record.unended', what });
  }
  if (lines.length === 0) found.push({ n: null, line: 1, code: 'record.empty', what: 'there is no whole entry' });
  return found;
}

/** Calibrations by id and the serial of the probe in use, as the entries so far say. */
interface Standing {
  calibrations: Map<string, Calibration>;
  probeSerial: number | null;
}

function verifyEvidence(lines: RecordLine[], report: VerifyReport): void {
  const standing: Standing = { calibrations: new Map(), probeSerial: null };
  for (const { line, entry } of lines) {
    const say = (code: string, what: string) => report.departures.push({ n: entry.n, line, code, what });
    if (entry.kind === 'opened' && sha256(entry.guide.text) !== entry.guide.sha256) {
      say('guide.digest', "the guide's text does not have the digest that stands beside it");
    }
    if (entry.kind === 'probe') verifyProbe(standing, entry, say);
    const source = sourceOf(entry);
    if (source !== null) verifySource(standing, source, say);
    const found = rederive(entry, standing, report.counters);
    for (const { code, what } of found?.discrepancies ?? ([] as Discrepancy[])) say(code, what);
    report.counters.derived += found?.derived ?? 0;
    report.counters.withheld += found?.withheld ?? 0;
  }
}

function verifyProbe(standing: Standing, entry: EntryOf<'probe'>, say: (code: string, what: string) => void): void {
  const { calibration, identity } = entry;
  const before = standing.calibrations.get(calibration.id);
  if (before !== undefined && canonicalJson(before) !== canonicalJson(calibration)) {
    say('evidence.calibration', `two calibrations in this record have the id ${calibration.id}`);
  }
  standing.calibrations.set(calibration.id, calibration);
  standing.probeSerial = identity.probeSerial;
}

function verifySource(
  standing: Standing,
  source: { probeSerial: number; calibration: string },
  say: (code: string, what: string) => void,
): void {
  if (!standing.calibrations.has(source.calibration)) {
    say('evidence.calibration', `no entry before this one holds the calibration ${source.calibration}`);
  }
  if (standing.probeSerial !== source.probeSerial) {
    say('evidence.probe', `the probe ${source.probeSerial} is not the one that was connected last`);
  }
}

function sourceOf(entry: Entry): { probeSerial: number; calibration: string } | null {
  if (entry.kind === 'capture' || entry.kind === 'proof') return entry.capture;
  return entry.kind === 'presses' ? entry : null;
}

function rederive(entry: Entry, standing: Standing, counters: VerifyReport['counters']): Rederivation | null {
  const calibration = standing.calibrations.get(sourceOf(entry)?.calibration ?? '') ?? null;
  switch (entry.kind) {
    case 'capture':
      counters.captures += 1;
      return rederiveCapture(entry, calibration);
    case 'proof':
      counters.proofs += 1;
      return rederiveProof(entry, calibration);
    case 'presses':
      counters.presses += 1;
      return rederivePresses(entry, calibration);
    case 'observation':
      counters.observations += 1;
      return rederiveObservation(entry);
    default:
      return null;
  }
}
