import type { JobResult, ProofStanding } from '../../record/entries/entries.ts';
import type { RecordVerdict } from '../../verify/verify-report.ts';

/**
 * How far a record verifies. `none`: its chain does not hold. `chain`: that alone. `outcomes`: all
 * but what it concluded. `conclusions`: in full.
 */
export type LedgerLevel = 'none' | 'chain' | 'outcomes' | 'conclusions';

/** One record as the ledger holds it. Times are ISO 8601 in UTC; texts are bounded. */
export interface RecordRow {
  /** First 16 bytes of the record's identity, as a UUID: the key of all its rows. */
  id: string;
  /** Hash of the first line, and of the last whole one. */
  record_id: string;
  head: string;
  entries: number;
  bytes: number;
  /** Public key of the bench in base64: that which signed it, else that which opened it; null: neither. */
  bench: string | null;
  verdict: RecordVerdict;
  /** Of the first departure; null: there is none. */
  code: string | null;
  level: LedgerLevel;
  counted: boolean;
  emulated: boolean;
  opened_month: string;
  opened_at: string;
  last_at: string;
  closed: boolean;
  result: JobResult;
  /** What isolation came to last; null: nothing was concluded. */
  conclusion: string | null;
  proofs: ProofStanding;
  guide_id: string;
  guide_sha256: string;
  guide_title: string;
  maker: string;
  model: string;
  revision: string;
  serial: string;
  /** The serial number as it is looked for; empty: none. */
  serial_key: string;
  ticket: string;
  symptom: string;
  technician: string;
  job: string;
  tool: string;
  /** Time at work, pauses left out. */
  minutes: number;
  repairs: number;
  /** So often the device came back to this very job. */
  returns: number;
}

export interface AttemptRow {
  n: number;
  check_id: string;
  kind: string;
  phase: string;
  outcome: string;
  /** Ohm or volt, by the check; null: nothing was read. */
  value: number | null;
  u: number | null;
  /** Since the entry before; null: a pause, or a clock set back. */
  took_ms: number | null;
}

export interface ProofRow {
  n: number;
  probe: string;
  calibration: string;
  at: string;
  stage: string;
  what: string;
  outcome: string;
  ohm: number | null;
  u_repeat: number;
}

/** A fault that a repair confirmed; of one case that stayed open between several, a share each. */
export interface FaultRow {
  link: string;
  mode: string;
  share: number;
}

export interface DoneRow {
  n: number;
  what: string;
  /** Id of the guide's repair, or of the unit that was swapped. */
  name: string;
  title: string;
  price: number | null;
  currency: string | null;
  helped: boolean;
}

/** A unit that was found at fault (`found`) or that a repair was done to (`repaired`). */
export interface UnitRow {
  n: number;
  unit: string;
  act: 'found' | 'repaired';
  helped: boolean;
}

/** Everything that the ledger holds of one record. */
export interface RecordRows {
  record: RecordRow;
  attempts: AttemptRow[];
  proofs: ProofRow[];
  faults: FaultRow[];
  repairs: DoneRow[];
  units: UnitRow[];
}
