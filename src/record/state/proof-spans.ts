import type { EntryOf, ProofKind, ProofStanding } from '../entries/entries.ts';
import { foldRulesOf } from '../entries/rules.ts';
import type { ProofResult, ProofSet, ProofSpan } from './job-state.ts';

/** The proofs of a probe that are asked for at each end of a span. */
const proofKinds: readonly ProofKind[] = ['shorted-tips', 'check-resistor'];

function holds({ outcome, tooOften }: ProofResult): boolean {
  return outcome === 'pass' && !tooOften;
}

/** Something was measured and did not pass; a touch that never came is no failed try. */
function hasFailed({ outcome }: ProofResult): boolean {
  return outcome !== 'pass' && outcome !== 'no-contact';
}

/** Returns the spans after a probe was connected: another probe or calibration begins a new one. */
export function spanForProbe(spans: ProofSpan[], entry: EntryOf<'probe'>): ProofSpan[] {
  const serial = entry.identity.probeSerial;
  return matching(spans, serial, entry.calibration.id) ? spans : [...spans, newSpan(serial, entry.calibration.id)];
}

/**
 * Returns the spans after a capture by `source` (null: nothing was read): the last of them is the
 * one it rests on.
 */
export function spanForCapture(
  spans: ProofSpan[],
  source: { probeSerial: number; calibration: string } | null,
): ProofSpan[] {
  const standing = spanOf(spans, source);
  const last = standing.at(-1)!;
  const closing = standingOf([last.closing]);
  if (hasAny(last.closing) && closing !== 'missing') {
    const opening = closing === 'held' ? last.closing : {};
    return [...standing, restated({ ...newSpan(last.probeSerial, last.calibration, opening), captures: 1 })];
  }
  return [...standing.slice(0, -1), restated({ ...last, closing: {}, captures: last.captures + 1 })];
}

/**
 * Returns the spans after a proof: an opening proof after a closing one begins a new span, a
 * repeated proof replaces the one before. `rules`: those in force.
 */
export function recordProof(spans: ProofSpan[], entry: EntryOf<'proof'>, rules: number): ProofSpan[] {
  const standing = spanOf(spans, entry.capture);
  const last = standing.at(-1)!;
  const anew = entry.when === 'opening' && hasAny(last.closing);
  const span = anew ? newSpan(last.probeSerial, last.calibration) : last;
  const before = span[entry.when][entry.what];
  const failedBefore = before === undefined ? 0 : before.failedBefore + (hasFailed(before) ? 1 : 0);
  const proof: ProofResult = {
    n: entry.n,
    at: entry.at,
    outcome: entry.outcome,
    reading: entry.reading,
    expected: entry.expected,
    why: entry.why,
    failedBefore,
    tooOften: failedBefore > foldRulesOf(rules).mostFailedTries,
  };
  const changed = restated({ ...span, [entry.when]: { ...span[entry.when], [entry.what]: proof } });
  return [...(anew ? standing : standing.slice(0, -1)), changed];
}

/** Returns the spans after which every probe has to prove itself anew. */
export function separated(spans: ProofSpan[]): ProofSpan[] {
  return spans.length === 0 ? spans : [...spans, newSpan(null, null)];
}

/**
 * Returns how sets of proofs stand together: `held` only if every proof of every set was done and
 * passed.
 */
function standingOf(sets: ProofSet[]): ProofStanding {
  const proofs = sets.flatMap((set) => proofKinds.map((kind) => set[kind]));
  if (proofs.some((proof) => proof !== undefined && !holds(proof))) return 'failed';
  return proofs.every((proof) => proof !== undefined) ? 'held' : 'missing';
}

/** Returns the worst of several standings; `missing` when there are none. */
export function worstStanding(standings: ProofStanding[]): ProofStanding {
  if (standings.includes('failed')) return 'failed';
  return standings.length > 0 && standings.every((standing) => standing === 'held') ? 'held' : 'missing';
}

/** Spans whose last one belongs to `source`. */
function spanOf(spans: ProofSpan[], source: { probeSerial: number; calibration: string } | null): ProofSpan[] {
  if (source === null) return spans.length > 0 ? spans : [newSpan(null, null)];
  if (matching(spans, source.probeSerial, source.calibration)) return spans;
  return [...spans, newSpan(source.probeSerial, source.calibration)];
}

function matching(spans: ProofSpan[], serial: number, calibration: string): boolean {
  const last = spans.at(-1);
  return last !== undefined && last.probeSerial === serial && last.calibration === calibration;
}

function newSpan(probeSerial: number | null, calibration: string | null, opening: ProofSet = {}): ProofSpan {
  return restated({ probeSerial, calibration, opening, closing: {}, standing: 'missing', captures: 0 });
}

function restated(span: ProofSpan): ProofSpan {
  return { ...span, standing: standingOf([span.opening, span.closing]) };
}

function hasAny(set: ProofSet): boolean {
  return proofKinds.some((kind) => set[kind] !== undefined);
}
