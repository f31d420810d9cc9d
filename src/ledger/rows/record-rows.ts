import { parseRecord } from '../../record/chain/parse-record.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { checkKindOf, isAttempt, storedKindOf } from '../../record/kinds/stored-kinds.ts';
import { foldJob } from '../../record/state/fold.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { proofsIn } from '../../record/state/proof-history.ts';
import { guideIn } from '../../verify/conclusions/believed.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import type { VerifyReport } from '../../verify/verify-report.ts';
import { boundedText, serialKey } from './bounded-text.ts';
import { confirmedFaults } from './confirmed-faults.ts';
import type { AttemptRow, FaultRow, LedgerLevel, ProofRow, RecordRow, RecordRows } from './ledger-rows.ts';
import { rowKey } from './record-id.ts';
import { repairsIn, unitsIn } from './repairs-in.ts';

/** Longer than this nobody works at one check: it was a pause. Common practice, no source. */
const longestWorkMs = 30 * 60_000;

/**
 * Returns the rows of a record, which is verified in full for it; null when its first line is no
 * opening of a job, so that nothing names it.
 */
export function recordRows(bytes: Uint8Array): RecordRows | null {
  const parsed = parseRecord(bytes);
  const [first] = parsed.lines;
  const last = parsed.lines.at(-1);
  if (first?.entry.kind !== 'opened' || last === undefined) return null;
  const entries = parsed.lines.map(({ entry }) => entry);
  const report = verifyWhole(bytes);
  const state = foldJob(entries);
  const guide = guideIn(entries);
  const counted = report.ok;
  const { guide: own, device, ticket, symptom, technician, job, tool } = first.entry;
  const record: RecordRow = {
    id: rowKey(first.sha256),
    record_id: first.sha256,
    head: last.sha256,
    entries: entries.length,
    bytes: bytes.length,
    bench: report.signature.publicKey ?? first.entry.bench?.key ?? null,
    verdict: report.verdict,
    code: report.departures[0]?.code ?? null,
    level: levelOf(report),
    counted,
    emulated: state.emulated,
    opened_month: `${timeText(first.entry.at).slice(0, 7)}-01`,
    opened_at: timeText(first.entry.at),
    last_at: timeText(last.entry.at),
    closed: state.closed !== null,
    result: state.result,
    conclusion: latestConclusion(entries),
    proofs: state.proofs.standing,
    guide_id: boundedText(own.id),
    guide_sha256: own.sha256,
    guide_title: boundedText(own.title),
    maker: boundedText(device.maker),
    model: boundedText(device.name),
    revision: boundedText(device.revision),
    serial: boundedText(device.serial ?? ''),
    serial_key: serialKey(device.serial ?? ''),
    ticket: boundedText(ticket ?? ''),
    symptom: boundedText(symptom ?? ''),
    technician: boundedText(technician ?? ''),
    job: boundedText(job),
    tool: boundedText(tool),
    minutes: workMs(entries) / 60_000,
    repairs: state.repairs.length,
    returns: state.addenda.filter(({ what }) => what === 'returned').length,
  };
  return {
    record,
    attempts: attemptsIn(entries),
    proofs: proofRows(entries),
    faults: counted ? faultRows(state) : [],
    repairs: repairsIn(state, guide),
    units: unitsIn(state, guide),
  };
}

function levelOf({ ok, departures, verifiable }: VerifyReport): LedgerLevel {
  if (ok) return 'conclusions';
  const isChain = (code: string): boolean => /^(line|chain|entry|record)\./.test(code);
  if (departures.some(({ code }) => isChain(code))) return 'none';
  const isConcluded = departures.every(({ code }) => code === 'derive.conclusion' || code === 'signature.none');
  return verifiable && isConcluded ? 'outcomes' : 'chain';
}

function latestConclusion(entries: readonly Entry[]): string | null {
  const last = entries.findLast((entry) => entry.kind === 'concluded');
  return last?.kind === 'concluded' ? last.conclusion : null;
}

function attemptsIn(entries: readonly Entry[]): AttemptRow[] {
  return entries.flatMap((entry, i): AttemptRow[] => {
    if (!isAttempt(entry)) return [];
    const { reading } = storedKindOf(entry).shown(entry);
    const isRead = reading?.state === 'in-range';
    return [
      {
        n: entry.n,
        check_id: boundedText(entry.check),
        kind: checkKindOf(entry),
        phase: entry.phase,
        outcome: entry.outcome,
        value: isRead ? reading.value : null,
        u: isRead ? reading.u : null,
        took_ms: stepMs(entries[i - 1], entry),
      },
    ];
  });
}

function proofRows(entries: readonly Entry[]): ProofRow[] {
  const numbers = numbersOfProofs(entries);
  return proofsIn(entries).map((proof, i) => ({
    n: numbers[i]!,
    probe: String(proof.probeSerial),
    calibration: boundedText(proof.calibration.id),
    at: timeText(proof.at),
    stage: proof.when,
    what: proof.what,
    outcome: proof.outcome,
    ohm: proof.ohm,
    u_repeat: proof.uRepeatOhm,
  }));
}

/** Those that `proofsIn` gives: a proof before any probe is none. */
function numbersOfProofs(entries: readonly Entry[]): number[] {
  const from = entries.findIndex(({ kind }) => kind === 'probe');
  return entries.flatMap(({ kind, n }, i) => (kind === 'proof' && from >= 0 && i > from ? [n] : []));
}

function faultRows(state: JobState): FaultRow[] {
  return confirmedFaults(state).faults.map(({ link, mode, count }) => ({
    link: boundedText(link),
    mode,
    share: count,
  }));
}

/** Milliseconds since the entry before; null for a pause, or where a clock was set back. */
function stepMs(before: Entry | undefined, { at }: Entry): number | null {
  if (before === undefined) return null;
  const ms = Date.parse(at) - Date.parse(before.at);
  return ms >= 0 && ms <= longestWorkMs ? ms : null;
}

function workMs(entries: readonly Entry[]): number {
  return entries.reduce((sum, entry, i) => sum + (stepMs(entries[i - 1], entry) ?? 0), 0);
}

/** PostgreSQL knows no year 0. */
function timeText(at: string): string {
  return at.startsWith('0000') ? `0001${at.slice(4)}` : at;
}
