import { parseRecord } from '../../record/chain/parse-record.ts';
import type { EntryOf, JobCounts, JobResult, ProofStanding } from '../../record/entries/entries.ts';
import { emptyJob } from '../../record/state/fold.ts';
import type { JobState } from '../../record/state/job-state.ts';
import type { ReadResult } from '../../record/store/read-record.ts';
import type { RecordVerdict } from '../verify-report.ts';

/** One line about one record. JSON-able. */
export interface JobSummary {
  path: string;
  job: string | null;
  guide: string | null;
  device: EntryOf<'opened'>['device'] | null;
  ticket: string | null;
  openedAt: string | null;
  lastAt: string | null;
  entries: number;
  open: boolean;
  result: JobResult;
  proofs: ProofStanding;
  doubtful: boolean;
  counts: JobCounts;
  /**
   * Units that isolation came to or that were changed, by id, in the order in which they came up.
   */
  units: string[];
  signed: boolean;
  /** So often it was added to after a closing. */
  addenda: number;
  /** Its probe was an emulated one. */
  emulated: boolean;
  /** What a verifier says of it; `verified`: it holds. */
  verdict: RecordVerdict;
  verified: boolean;
  /** What is wrong with the file, in words; null when it is whole. */
  trouble: string | null;
}

/** Returns the summary of a record that was read and verified. */
export function summarizeRecord(read: ReadResult, verdict: RecordVerdict): JobSummary {
  const { state, path } = read;
  const opened = state.opened;
  return {
    path,
    job: state.job,
    guide: opened?.guide.title ?? null,
    device: opened?.device ?? null,
    ticket: opened?.ticket ?? null,
    openedAt: opened?.at ?? null,
    lastAt: state.lastAt,
    entries: state.entries,
    open: state.closed === null,
    result: state.result,
    proofs: state.proofs.standing,
    doubtful: state.doubtful,
    counts: state.counts,
    units: unitsIn(state),
    signed: state.signed !== null,
    addenda: state.addenda.length,
    emulated: state.emulated,
    verdict,
    verified: verdict === 'holds',
    trouble: troubleOf(read) ?? (verdict === 'holds' ? null : verdictWords[verdict]),
  };
}

/** Returns the summary of a record that could not be read at all. */
export function unreadableRecord(path: string, trouble: string): JobSummary {
  const read = {
    path,
    bytes: Buffer.alloc(0),
    entries: [],
    state: emptyJob(),
    parsed: parseRecord(Buffer.alloc(0)),
    identity: null,
    whole: false,
  };
  return { ...summarizeRecord(read, 'departs'), trouble };
}

/** What is wrong with a whole file that does not hold. */
const verdictWords: Record<Exclude<RecordVerdict, 'holds'>, string> = {
  departs: 'does not verify: its result is not to be relied on',
  'not-verifiable': 'not verifiable by this version',
  'not-signed': 'not signed, where a signature is expected',
};

/**
 * Units that were swapped, and those of the decision that a conclusion named, unless the job came
 * to nothing found. A decision is a unit, `UNIT|UNIT` for what joins two, or several of these
 * joined by ` + `.
 */
function unitsIn({ repairs, found, result }: JobState): string[] {
  const named =
    result === 'passed' || result === 'no-fault-found' ? [] : (found?.decisions[0]?.id ?? '').split(/\||\s\+\s/);
  const swapped = repairs.map(({ unit }) => unit ?? '');
  return [...new Set([...swapped, ...named])].filter((unit) => unit !== '');
}

function troubleOf({ parsed }: ReadResult): string | null {
  const first = parsed.damage[0];
  if (first !== undefined) return `damaged in line ${first.line}: ${first.what}`;
  if (parsed.lines.length === 0) return 'holds no whole entry';
  if (parsed.torn !== null) return `${parsed.torn.why} (line ${parsed.torn.line}); resuming sets it aside`;
  return parsed.unended ? 'the last line lacks its newline; resuming adds it' : null;
}
