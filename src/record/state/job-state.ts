import type { Evidence } from '../../checks/evidence.ts';
import type { Limits, Outcome } from '../../measure/types.ts';
import type {
  EntryOf,
  JobCounts,
  JobResult,
  Phase,
  ProofKind,
  ProofStanding,
  StoredReading,
} from '../entries/entries.ts';
import type { AttemptEntry } from '../kinds/stored-kinds.ts';

/** One attempt at a check, as it was recorded. Attempts are never taken away. */
export interface AttemptResult {
  /** Number of the entry. */
  n: number;
  at: string;
  /** Of the entry, as records call it. */
  kind: AttemptEntry['kind'];
  attempt: number;
  phase: Phase;
  /** Repairs on record before it: what was measured before the latest one holds no more. */
  repairs: number;
  outcome: Outcome;
  why: string;
  /** What it says about the device; null when it says nothing. */
  evidence: Evidence | null;
  /**
   * Null where nothing was read: no contact, presses, an observation. Of a bridge the idle voltage,
   * of two levels the normal one.
   */
  reading: StoredReading | null;
  limits: Limits | null;
  /**
   * Which span of proofs this attempt rests on (index into `spans`); null for an observation, which
   * needs no probe.
   */
  span: number | null;
}

/** One check and where it stands. */
export interface CheckState {
  id: string;
  title: string;
  kind: string;
  /**
   * False for a check that the record's guide does not list; it has no part in counts and result.
   */
  inGuide: boolean;
  attempts: AttemptResult[];
  /** So many of the first attempts were withdrawn by a `repeat`: they are no evidence. */
  withdrawn: number;
  /** It said something before a repair, so it is to be done again after it. */
  redo: boolean;
  /**
   * Index of the latest attempt whose fail (or unsteady touch, where a fault was concluded) stood
   * when a repair was done; null: there was none.
   */
  failedBefore: number | null;
  skipped: { reason: string; by: string; at: string } | null;
  /**
   * What stands now: the outcome of the latest attempt; null before the first, after a `repeat` or
   * a repair, and where a pass was followed by a `skipped`.
   */
  outcome: Outcome | null;
  /**
   * For before beside after: latest outcome before any repair, and latest one since the last
   * repair.
   */
  before: Outcome | null;
  after: Outcome | null;
  /**
   * The outcome that stands rests on proofs that failed, or (on a closed job) on proofs that are
   * missing.
   */
  doubtful: boolean;
}

export interface ProofResult {
  n: number;
  at: string;
  outcome: Outcome;
  reading: StoredReading | null;
  expected: { min: number; max: number };
  why: string;
  /** Tries of this proof that had failed before it, at the same end of the span. */
  failedBefore: number;
  /** Too many had failed for a pass to count. */
  tooOften: boolean;
}
export type ProofSet = Partial<Record<ProofKind, ProofResult>>;

/**
 * A run of captures by one probe under one calibration, between an opening and a closing proof.
 *
 * A probe with another serial number or calibration begins a span, so does an opening proof after a
 * closing one. A capture after closing proofs begins one too: if they held, they serve as its
 * opening proofs; if one failed, the probe has to be proved anew. A capture between the first and
 * the last closing proof only asks for the closing proofs again.
 */
export interface ProofSpan {
  probeSerial: number | null;
  calibration: string | null;
  opening: ProofSet;
  closing: ProofSet;
  /**
   * `held`: both proofs passed at both ends. `failed`: the latest of one did not pass. `missing`:
   * one was not done.
   */
  standing: ProofStanding;
  captures: number;
}

/** Everything that a record says about its job. Plain data; made by `foldJob` alone. */
export interface JobState {
  /** The opening entry, with the guide's text in it; null before it. */
  opened: EntryOf<'opened'> | null;
  job: string | null;
  /** Number of the rules in force. */
  rules: number;
  /** Entries folded, and the time of the last. */
  entries: number;
  lastAt: string | null;
  /** Ids of acknowledged cautions, in order of acknowledgement. */
  cautions: string[];
  /** The latest probe entry. */
  probe: EntryOf<'probe'> | null;
  /** Some probe of it was an emulated one. */
  emulated: boolean;
  power: 'on' | 'off' | null;
  /**
   * By check id, without a prototype: the guide's checks in its order, then checks that it does not
   * list.
   */
  checks: Record<string, CheckState>;
  spans: ProofSpan[];
  /** Proofs of the current span; `standing` is the worst of the spans that the outcomes rest on. */
  proofs: { opening: ProofSet; closing: ProofSet; standing: ProofStanding };
  /**
   * Numbers of the proofs that were measured and did not pass: a later try that passes does not
   * take them away.
   */
  failedProofs: number[];
  /** Some check of the guide has a doubtful outcome. */
  doubtful: boolean;
  /** Checks of the guide without a pass or a fail that were not skipped, in its order. */
  unfinished: string[];
  counts: JobCounts;
  gaps: EntryOf<'gap'>[];
  live: EntryOf<'live'>[];
  /** Repairs done and units swapped, in order. */
  repairs: EntryOf<'repair'>[];
  /** What was added after a closing, in order. */
  addenda: EntryOf<'addendum'>[];
  /**
   * What the job came to before the latest of these, for as long as that one has done nothing to a
   * device that stayed on the bench; else null.
   */
  resultBefore: JobResult | null;
  /**
   * The latest time the device came back: number of that entry, and repairs on record before it.
   * What was measured and done before says nothing of how it is now.
   */
  returned: { n: number; repairs: number } | null;
  /**
   * What isolation came to; null before that, and again after any attempt, repeat or repair that
   * came later.
   */
  concluded: EntryOf<'concluded'> | null;
  /**
   * The latest conclusion that named a place. A repair does not take it away, nor what is measured
   * after it; a later conclusion about the same device, unrepaired, that names none does.
   */
  found: EntryOf<'concluded'> | null;
  notes: { n: number; at: string; text: string }[];
  resumes: number;
  recovered: EntryOf<'recovered'>[];
  link: EntryOf<'link'>['counters'] | null;
  /** Commitments to who the customer is; the words themselves are no part of the chain. */
  customer: EntryOf<'customer'> | null;
  /** The bench's signature behind the latest closing entry. */
  signed: EntryOf<'signed'> | null;
  /**
   * The latest closing entry, null when an addendum stands behind it; what it claims may be more than
   * what the entries bear out: see `result`.
   */
  closed: EntryOf<'closed'> | null;
  /** What the entries bear out now, see `resultOf`. Final only when `closed` is set. */
  result: JobResult;
}

export type { JobResult };
