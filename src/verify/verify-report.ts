import type { JobResult } from '../record/entries/entries.ts';
import type { SignatureReport } from '../record/signing/signed-head.ts';

/**
 * One thing that a verifier found. `n`: number of the entry, null where there is none. `code` is
 * stable.
 */
export interface Departure {
  n: number | null;
  line: number;
  code: string;
  what: string;
  /** What stands there and what it should be, where two values can be put beside each other. */
  stands?: unknown;
  due?: unknown;
}

/**
 * What a record comes to. `departs`: something does not hold. `not-verifiable`: its rules or its
 * format are not known here. `not-signed`: all else holds, but a signature is expected and there is
 * none.
 */
export type RecordVerdict = 'holds' | 'departs' | 'not-verifiable' | 'not-signed';

/** What a verifier says about a record. It repairs nothing. */
export interface VerifyReport {
  /**
   * Verifiable and no departures: every line whole and in its place, every outcome derived again.
   * Notes do not count.
   */
  ok: boolean;
  verdict: RecordVerdict;
  job: string | null;
  entries: number;
  /**
   * Numbers of the rules by which the record was made, in their order; see
   * `src/record/entries/rules.ts`.
   */
  rules: number[];
  /**
   * This version can work the record out: it knows its rules and its format. Without that nothing
   * is `ok`.
   */
  verifiable: boolean;
  /** What does not hold. */
  departures: Departure[];
  /**
   * What holds and is worth knowing: clock set back, gaps, recoveries, an override, a job still
   * open.
   */
  notes: Departure[];
  counters: {
    bytes: number;
    lines: number;
    captures: number;
    proofs: number;
    presses: number;
    observations: number;
    bridges: number;
    /** Touches at two levels, and held touches. */
    levels: number;
    holds: number;
    /** Outcomes worked out again from raw codes or an answer. */
    derived: number;
    /** Outcomes that claim nothing: no contact, unsteady, live. */
    withheld: number;
  };
  /** What the whole entries bear out. */
  result: JobResult;
  /** Whether a bench signed the record's end, and with which key. */
  signature: SignatureReport;
  /** Every signature, by the number of its entry: one a closing. */
  signatures: (SignatureReport & { n: number })[];
  /**
   * Hash of the last whole entry: kept elsewhere, it shows later that nothing behind it was cut
   * off.
   */
  lastSha256: string | null;
}
