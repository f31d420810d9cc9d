import { parseRecord, type RecordLine } from '../../record/chain/parse-record.ts';
import type { Entry, EntryOf } from '../../record/entries/entries.ts';
import { rulesFrom } from '../../record/entries/rules.ts';
import { isAttempt } from '../../record/kinds/stored-kinds.ts';
import { evidenceByRepair } from '../../record/state/evidence-history.ts';
import { emptyJob, foldEntry } from '../../record/state/fold.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { ruleSetOf } from '../rules.ts';
import type { Departure, VerifyReport } from '../verify-report.ts';
import { type RestsOn, restsOn } from './rests-on.ts';

/** What an entry states that follows from something else. */
export type StatementKind =
  | 'opening'
  | 'calibration'
  | 'caution'
  | 'proof'
  | 'outcome'
  | 'repair'
  | 'conclusion'
  | 'closing'
  | 'signature';

/** One statement of a record, and what working it out again came to. */
export interface Statement {
  /** Number of its entry, and its line. */
  n: number;
  line: number;
  states: StatementKind;
  /** The check, the proof, the calibration, the caution or the repair that it is about. */
  about: string | null;
  /** What stands there, in one word or value. */
  stands: string;
  /** Numbers of the entries that it follows from, its own among them where raw data stands in it. */
  from: number[];
  /** Number of the rules by which it was worked out again. */
  rules: number;
  /** `same`: it came to what stands there. `unknown`: it was not worked out. */
  comes: 'same' | 'other' | 'unknown';
  /** Where it departs: what stands there and what it should be. */
  departures: Departure[];
}

/** Each derived thing of a record, and what it all rests on that nobody can work out again. */
export interface Explanation {
  statements: Statement[];
  /** Departures of the file, the chain or the order: of no statement. */
  others: Departure[];
  restsOn: RestsOn[];
}

/** Returns what each statement of a record follows from. `report`: what `verifyWhole` said of it. */
export function explainRecord(bytes: Uint8Array, report: VerifyReport): Explanation {
  const { lines } = parseRecord(bytes);
  const statements: Statement[] = [];
  const place: Place = { opened: null, probe: null, rules: 1 };
  let state = emptyJob();
  for (const line of lines) {
    const { entry } = line;
    place.rules = rulesFrom(entry) ?? place.rules;
    if (entry.kind === 'opened') place.opened ??= entry.n;
    if (entry.kind === 'probe') place.probe = entry.n;
    const stated = statedBy(entry, state, place);
    if (stated !== null) statements.push(withOutcome(stated, line, place.rules, report));
    state = foldEntry(state, entry);
  }
  const told = new Set(statements.flatMap(({ departures }) => departures));
  const others = report.departures.filter((departure) => !told.has(departure));
  return { statements, others, restsOn: restsOn(lines) };
}

/** Where the guide, the probe and the rules stand that an entry rests on. */
interface Place {
  opened: number | null;
  probe: number | null;
  rules: number;
}

type Stated = Pick<Statement, 'states' | 'about' | 'stands' | 'from'>;

function statedBy(entry: Entry, before: JobState, { opened, probe }: Place): Stated | null {
  const from = (...numbers: (number | null)[]): number[] => numbers.flatMap((n) => n ?? []);
  if (isAttempt(entry)) {
    const measured = entry.kind === 'observation' ? null : probe;
    return { states: 'outcome', about: entry.check, stands: entry.outcome, from: from(opened, measured, entry.n) };
  }
  switch (entry.kind) {
    case 'opened':
      return { states: 'opening', about: entry.guide.id, stands: entry.device.revision, from: [entry.n] };
    case 'probe':
      return { states: 'calibration', about: entry.calibration.id, stands: entry.calibration.source, from: [entry.n] };
    case 'caution':
      return { states: 'caution', about: entry.id, stands: 'acknowledged', from: from(opened) };
    case 'proof':
      return {
        states: 'proof',
        about: `${entry.when} ${entry.what}`,
        stands: entry.outcome,
        from: from(probe, entry.n),
      };
    case 'repair':
      return { states: 'repair', about: entry.repair ?? entry.unit, stands: entry.what, from: from(opened) };
    case 'concluded':
      return {
        states: 'conclusion',
        about: entry.decisions[0]?.id ?? null,
        stands: entry.conclusion,
        from: [...from(opened), ...concludedFrom(before)],
      };
    case 'closed':
      return { states: 'closing', about: null, stands: entry.result, from: closedFrom(before, entry) };
    case 'signed':
      return { states: 'signature', about: entry.publicKey, stands: 'signed', from: [entry.n - 1, entry.n] };
    default:
      return null;
  }
}

/** The attempts that count, and the repairs between them. */
function concludedFrom(job: JobState): number[] {
  const attempts = evidenceByRepair(job)
    .flat()
    .map(({ n }) => n);
  return [...attempts, ...job.repairs.map(({ n }) => n)].sort((a, b) => a - b);
}

/** The latest attempt at each check, the proofs around them, repairs, and what was concluded. */
function closedFrom(job: JobState, { result }: EntryOf<'closed'>): number[] {
  if (result === 'abandoned') return [];
  const attempts = Object.values(job.checks).flatMap(({ attempts: all }) => all.at(-1)?.n ?? []);
  const proofs = job.spans.flatMap(({ opening, closing }) =>
    [opening, closing].flatMap((set) => Object.values(set).map(({ n }) => n)),
  );
  const repairs = job.repairs.map(({ n }) => n);
  const all = [...attempts, ...proofs, ...repairs, ...(job.concluded === null ? [] : [job.concluded.n])];
  return [...new Set(all)].sort((a, b) => a - b);
}

function withOutcome(stated: Stated, { line, entry }: RecordLine, rules: number, report: VerifyReport): Statement {
  const departures = report.departures.filter((one) => one.line === line);
  const isKnown = report.verifiable && ruleSetOf(rules) !== null;
  const comes = departures.length > 0 ? 'other' : isKnown ? 'same' : 'unknown';
  return { n: entry.n, line, ...stated, rules, comes, departures };
}
