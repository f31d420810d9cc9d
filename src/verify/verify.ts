import type { Calibration } from '../measure/types.ts';
import { canonicalJson } from '../record/chain/canonical.ts';
import { sha256 } from '../record/chain/chain.ts';
import type { ParsedRecord, RecordDamage, RecordLine } from '../record/chain/parse-record.ts';
import { parseRecord } from '../record/chain/parse-record.ts';
import type { Entry, EntryOf } from '../record/entries/entries.ts';
import { checkSignature, noSignature } from '../record/signing/signed-head.ts';
import { foldJob } from '../record/state/fold.ts';
import { rederiveCapture, rederiveObservation, rederivePresses, rederiveProof } from './evidence/rederive.ts';
import { rederiveBridge } from './evidence/rederive-bridge.ts';
import type { Discrepancy, Rederivation } from './evidence/rederive-reading.ts';
import { rederiveLevels, rederiveSteady } from './evidence/rederive-touches.ts';
import { noteReliance } from './reliance.ts';
import { verifyFlow } from './verify-flow.ts';
import { verifyClosing, verifyOrder } from './verify-order.ts';
import type { Finding, VerifyReport } from './verify-report.ts';

export type { Finding, VerifyReport } from './verify-report.ts';

export interface VerifyOptions {
  /** Public key of the bench, in base64, that must have signed the record. */
  expectedKey?: string;
  /** False: only the chain, the order and the signature are looked at (for measuring what the rest costs). Default true. */
  rederive?: boolean;
}

/**
 * Returns what holds of a record and what does not: the layout, hash and canonical form of each line, the chain, the order of
 * entries, and every outcome derived again from the raw codes under the calibration, limits and rule that stand in the record.
 * Never throws.
 *
 * A chain shows that nothing in it was changed; that it was not written anew as a whole, or cut off at its end, only `lastSha256`
 * kept elsewhere or a signature under a key known from elsewhere shows: `expectedKey`, in base64, makes anything less than that
 * signature a departure.
 */
export function verifyRecord(bytes: Uint8Array, { expectedKey, rederive = true }: VerifyOptions = {}): VerifyReport {
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
      bridges: 0,
      levels: 0,
      holds: 0,
      derived: 0,
      withheld: 0,
    },
    result: state.result,
    signature: noSignature,
    lastSha256: last?.sha256 ?? null,
  };
  if (rederive) verifyEvidence(lines, report);
  verifyOrder(lines, report);
  verifyFlow(lines, report.departures);
  // with lines missing, the closing entry can't be held against them
  if (parsed.damage.length === 0) verifyClosing(lines, report);
  verifySignature(lines, report, expectedKey);
  noteReliance(lines, state, report);
  report.departures.sort((a, b) => a.line - b.line);
  report.ok = report.departures.length === 0;
  return report;
}

function verifySignature(lines: RecordLine[], report: VerifyReport, expectedKey: string | undefined): void {
  const last = lines[lines.length - 1];
  const signed = lines.find(({ entry }) => entry.kind === 'signed');
  if (signed?.entry.kind === 'signed') report.signature = checkSignature(signed.entry, report.job, expectedKey);
  const { state, fingerprint } = report.signature;
  const place = { n: (signed ?? last)?.entry.n ?? null, line: (signed ?? last)?.line ?? 1 };
  const say = (code: string, what: string) => report.departures.push({ ...place, code, what });
  if (state === 'broken') say('signature.broken', 'the signature is not one over this chain by the key beside it');
  if (state === 'other-key') say('signature.other-key', `signed by another key (${fingerprint}) than the one given`);
  if (state !== 'none') return;
  if (expectedKey !== undefined) say('signature.none', 'the record is not signed');
  else if (lines.some(({ entry }) => entry.kind === 'closed')) {
    report.notes.push({ ...place, code: 'signature.none', what: 'the record is not signed' });
  }
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
  switch (entry.kind) {
    case 'capture':
    case 'proof':
    case 'steady':
      return entry.capture;
    case 'levels':
      return entry.dry?.capture ?? null;
    case 'presses':
    case 'bridge':
      return entry;
    default:
      return null;
  }
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
    case 'bridge':
      counters.bridges += 1;
      return rederiveBridge(entry, calibration);
    case 'levels':
      counters.levels += 1;
      return rederiveLevels(entry, calibration);
    case 'steady':
      counters.holds += 1;
      return rederiveSteady(entry, calibration);
    default:
      return null;
  }
}
