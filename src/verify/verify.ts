import type { Calibration } from '../measure/types.ts';
import { canonicalJson } from '../record/chain/canonical.ts';
import { sha256 } from '../record/chain/chain.ts';
import type { ParsedRecord, RecordDamage, RecordLine } from '../record/chain/parse-record.ts';
import { parseRecord } from '../record/chain/parse-record.ts';
import type { EntryOf } from '../record/entries/entries.ts';
import { rulesFrom, rulesIn } from '../record/entries/rules.ts';
import type { Succession } from '../record/entries/succession-part.ts';
import { codeSourceOf } from '../record/kinds/stored-kinds.ts';
import { noSignature } from '../record/signing/signed-head.ts';
import { emptyJob, foldSteps, type JobState } from '../record/state/fold.ts';
import type { CalibrationContent } from '../record/store/calibration-file.ts';
import { checkChain } from './chain-check.ts';
import { verifyCalibration, verifyOrigin } from './determined/calibration.ts';
import { verifyCodes } from './determined/codes.ts';
import { type Begun, verifyEmulated } from './determined/emulated.ts';
import { verifyLost } from './determined/lost.ts';
import { verifyProof } from './determined/proof-asked.ts';
import { counterOf } from './evidence/rederive-entry.ts';
import type { Discrepancy } from './evidence/rederive-reading.ts';
import type { Say } from './finding.ts';
import { type LabelHead, verifyLabel } from './label-code.ts';
import { type RuleSet, ruleSetOf } from './rules.ts';
import { noteUnreliable } from './unreliable-entries.ts';
import { verifyFlow } from './verify-flow.ts';
import { verifyClosings, verifyOrder } from './verify-order.ts';
import type { Departure, RecordVerdict, VerifyReport } from './verify-report.ts';
import { verifySignatures } from './verify-signatures.ts';

export type { VerifyReport } from './verify-report.ts';

export interface VerifyOptions {
  /** Public key of the bench, in base64, that must have signed the record. */
  expectedKey?: string;
  /** What the label of the device hands over: the record must hold that entry. */
  label?: LabelHead;
  /** By what keys of a bench have handed over to later ones, as far as it is known from elsewhere. */
  successions?: readonly Succession[];
  /** What calibration files hold: a calibration that came from one of them must be it. */
  calibrations?: readonly CalibrationContent[];
  /**
   * False: only the chain, the order and the signature are looked at (for measuring what the rest
   * costs). Default true.
   */
  rederive?: boolean;
}

/**
 * Returns what holds of a record and what does not: the layout, hash and canonical form of each
 * line, the chain, the order of entries, and every outcome derived again from the raw codes under
 * the calibration, limits and rule that stand in the record. Never throws.
 *
 * A chain shows that nothing in it was changed; that it was not written anew as a whole, or cut off
 * at its end, only `lastSha256` kept elsewhere or a signature under a key known from elsewhere
 * shows: `expectedKey`, in base64, makes anything less than that signature a departure.
 */
export function verifyRecord(bytes: Uint8Array, options: VerifyOptions = {}): VerifyReport {
  return verifyParsed(parseRecord(bytes), bytes, options);
}

/** The same for a record that was parsed already, with its bytes. */
export function verifyParsed(
  parsed: ParsedRecord,
  bytes: Uint8Array,
  { expectedKey, label, calibrations = [], successions = [], rederive = true }: VerifyOptions = {},
): VerifyReport {
  const lines = [...parsed.lines, ...parsed.beyond];
  const { state, atClosings } = foldedOf(lines);
  const last = lines.at(-1);
  const report: VerifyReport = {
    ok: false,
    verdict: 'departs',
    job: state.job,
    entries: lines.length,
    rules: rulesIn(lines.map((line) => line.entry)),
    verifiable: true,
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
    signatures: [],
    lastSha256: last?.sha256 ?? null,
  };
  noteRules(lines, report);
  if (parsed.damage[0]?.code === 'entry.format') return ofNewerFormat(bytes, parsed.damage[0], report);
  if (rederive) verifyEvidence(lines, report, calibrations);
  verifyOrder(lines, report);
  verifyFlow(lines, report.departures);
  // with lines missing or by rules unknown, the closing entry can't be held against them
  if (parsed.damage.length === 0 && report.verifiable) verifyClosings(lines, atClosings, report);
  verifySignatures(lines, report, { expectedKey, successions });
  noteUnreliable(lines, state, report);
  if (label !== undefined) {
    const { line = 1, entry } = last ?? {};
    verifyLabel(lines, label, (code, what) => report.departures.push({ n: entry?.n ?? null, line, code, what }));
  }
  return concluded(report);
}

/** What lines come to, and what they came to before each closing entry. No state between is kept: a long record has many. */
function foldedOf(lines: readonly RecordLine[]): { state: JobState; atClosings: Map<number, JobState> } {
  const atClosings = new Map<number, JobState>();
  let after = emptyJob;
  for (const step of foldSteps(lines.map(({ entry }) => entry))) {
    if (step.entry.kind === 'closed') atClosings.set(step.entry.n, step.before());
    after = step.after;
  }
  return { state: after(), atClosings };
}

/** Returns a report in its order, and whether the record holds. */
export function concluded(report: VerifyReport): VerifyReport {
  report.departures.sort((a, b) => a.line - b.line);
  report.verdict = verdictOf(report);
  report.ok = report.verdict === 'holds';
  return report;
}

/** Of a record of a newer format this version can only say whether its chain holds. */
function ofNewerFormat(bytes: Uint8Array, { line, code, what }: RecordDamage, report: VerifyReport): VerifyReport {
  const chain = checkChain(Buffer.from(bytes));
  const broken = {
    n: null,
    line: chain.badLine ?? line,
    code: 'chain.prev',
    what: 'the chain does not hold from here on',
  };
  const notes = [{ n: null, line, code, what: `${what}: use a newer one` }];
  const departures = chain.ok ? [] : [broken];
  return concluded({ ...report, verifiable: false, departures, notes, lastSha256: chain.head });
}

function verdictOf({ departures, verifiable }: VerifyReport): RecordVerdict {
  if (departures.some(({ code }) => code !== 'signature.none')) return 'departs';
  if (!verifiable) return 'not-verifiable';
  return departures.length > 0 ? 'not-signed' : 'holds';
}

/**
 * A record of rules that this version does not know holds for nobody here, and is accused of
 * nothing.
 */
function noteRules(lines: RecordLine[], report: VerifyReport): void {
  for (const { line, entry } of lines) {
    const rules = rulesFrom(entry);
    if (rules === null || ruleSetOf(rules) !== null) continue;
    report.verifiable = false;
    const what = `made by the rules ${rules}, which this version does not know: use a newer one`;
    report.notes.push({ n: entry.n, line, code: 'rules.unknown', what });
  }
}

function fileFindings(parsed: ParsedRecord): Departure[] {
  const found: Departure[] = parsed.damage.map(({ line, code, what }: RecordDamage) => ({ n: null, line, code, what }));
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

/**
 * Calibrations by id, the serial of the probe in use and the rules in force, as the entries so far
 * say.
 */
interface Standing {
  rules: number;
  calibrations: Map<string, Calibration>;
  probeSerial: number | null;
  /** Gaps since the probe was found last: its clock has not begun anew since. */
  gaps: EntryOf<'gap'>[];
  /** Readings were lost since the evidence before. */
  isLossy: boolean;
  /** What the span at hand began with. */
  begun: Begun | null;
  /** Calibration files that are at hand. */
  files: readonly CalibrationContent[];
}

function verifyEvidence(lines: RecordLine[], report: VerifyReport, files: readonly CalibrationContent[]): void {
  const standing: Standing = {
    rules: 1,
    calibrations: new Map(),
    probeSerial: null,
    gaps: [],
    isLossy: false,
    begun: null,
    files,
  };
  for (const { line, entry } of lines) {
    standing.rules = rulesFrom(entry) ?? standing.rules;
    const say: Say = (code, what, compared) =>
      void report.departures.push({ n: entry.n, line, code, what, ...compared });
    if (entry.kind === 'opened' && sha256(entry.guide.text) !== entry.guide.sha256) {
      say('guide.digest', "the guide's text does not have the digest that stands beside it");
    }
    const rules = ruleSetOf(standing.rules);
    if (entry.kind === 'opened' || entry.kind === 'addendum') standing.begun = entry;
    if (standing.begun !== null && (entry === standing.begun || entry.kind === 'probe'))
      verifyEmulated(entry, standing.begun, say);
    if (entry.kind === 'probe') verifyProbe(standing, entry, rules, say);
    if (entry.kind === 'probe') standing.gaps = [];
    // days may lie between: only a probe that was found anew has taken what follows
    if (entry.kind === 'addendum') standing.probeSerial = null;
    if (entry.kind === 'gap') standing.gaps.push(entry);
    standing.isLossy ||= entry.kind === 'gap';
    if (rules?.lossMatters === true) verifyLost(entry, standing.gaps, say);
    const source = codeSourceOf(entry);
    if (source !== null) verifySource(standing, source, say);
    const counter = counterOf(entry);
    if (counter !== null) report.counters[counter] += 1;
    const calibration = standing.calibrations.get(source?.calibration ?? '') ?? null;
    verifyCodes(entry, say);
    if (entry.kind === 'proof' && calibration !== null && rules !== null)
      verifyProof(entry, calibration, rules.proofs, say);
    const isLossy = rules?.lossMatters === true && standing.isLossy;
    const found = rules?.rederive(entry, calibration, isLossy);
    if (found != null) standing.isLossy = false;
    for (const { code, what, compared } of found?.discrepancies ?? ([] as Discrepancy[])) say(code, what, compared);
    report.counters.derived += found?.derived ?? 0;
    report.counters.withheld += found?.withheld ?? 0;
  }
}

function verifyProbe(standing: Standing, entry: EntryOf<'probe'>, rules: RuleSet | null, say: Say): void {
  const { calibration, identity } = entry;
  const before = standing.calibrations.get(calibration.id);
  if (before !== undefined && canonicalJson(before) !== canonicalJson(calibration)) {
    say('evidence.calibration', `two calibrations in this record have the id ${calibration.id}`);
  }
  if (rules !== null) verifyCalibration(calibration, rules.nominal, identity.probeSerial, say);
  if (standing.begun !== null && standing.begun.format >= 2) verifyOrigin(entry, standing.files, say);
  standing.calibrations.set(calibration.id, calibration);
  standing.probeSerial = identity.probeSerial;
}

function verifySource(standing: Standing, source: { probeSerial: number; calibration: string }, say: Say): void {
  if (!standing.calibrations.has(source.calibration)) {
    say('evidence.calibration', `no entry before this one holds the calibration ${source.calibration}`);
  }
  if (standing.probeSerial !== source.probeSerial) {
    say('evidence.probe', `the probe ${source.probeSerial} is not the one that was connected last`);
  }
}
