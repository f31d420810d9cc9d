import type { Quantity } from '../../measure/types.ts';
import { median } from '../../statistics/robust.ts';
import type { Entry, EntryOf, StoredReading } from '../entries/entries.ts';

/** A number with its standard uncertainty, in ohm or volt; `above-range`: `value` is a bound. */
export interface AttemptMeasured {
  value: number;
  u: number;
  state: StoredReading['state'];
}

/**
 * What one attempt says about the device, for whoever works out what is wrong with it. Plain data.
 *
 * `unsteady` readings dropped out or wandered; a `response` says nothing unless `proven`.
 */
export type AttemptEvidence = { check: string } & (
  | { kind: 'reading'; quantity: Quantity; reading: AttemptMeasured | null; unsteady: boolean }
  | { kind: 'levels'; dry: AttemptMeasured; normal: AttemptMeasured }
  | { kind: 'presses'; closed: AttemptMeasured | null; bad: number; count: number }
  | { kind: 'seen'; answer: 'yes' | 'no' | 'unsure' }
  | {
      kind: 'response';
      proven: boolean;
      idle: AttemptMeasured | null;
      answer: 'yes' | 'no' | 'unsure';
    }
);

export type AttemptEntry = EntryOf<'capture' | 'presses' | 'observation' | 'bridge' | 'levels' | 'steady'>;

const attemptKinds: readonly Entry['kind'][] = ['capture', 'presses', 'observation', 'bridge', 'levels', 'steady'];

/** Returns whether an entry is an attempt at a check. */
export function isAttempt(entry: Entry): entry is AttemptEntry {
  return attemptKinds.includes(entry.kind);
}

/** Returns what an attempt says about the device; null when it says nothing: no contact, a voltage on the tips, a hand that slipped. */
export function evidenceOf(entry: AttemptEntry): AttemptEvidence | null {
  if (entry.outcome === 'no-contact' || entry.outcome === 'live') return null;
  const { check } = entry;
  switch (entry.kind) {
    case 'capture': {
      const unsteady = entry.outcome === 'unsteady';
      const reading = measured(entry.reading);
      return reading === null && !unsteady
        ? null
        : { check, kind: 'reading', quantity: entry.quantity, reading, unsteady };
    }
    case 'presses': {
      const bad = entry.presses.filter((press) => press.outcome === 'fail').length;
      return { check, kind: 'presses', closed: typicalPress(entry), bad, count: entry.presses.length };
    }
    case 'observation':
      return { check, kind: 'seen', answer: entry.answer };
    case 'bridge': {
      // a response of before the closure is no answer to it, and an idle voltage that did not settle is no reading
      const answer = entry.respondedBefore ? 'unsure' : (entry.answer ?? 'unsure');
      const idle = entry.outcome === 'unsteady' ? null : measured(entry.idle?.reading ?? null);
      return { check, kind: 'response', proven: entry.proven, idle, answer };
    }
    case 'levels': {
      const dry = measured(entry.dry?.reading ?? null);
      const normal = measured(entry.normal?.reading ?? null);
      return dry === null || normal === null || entry.outcome === 'unsteady'
        ? null
        : { check, kind: 'levels', dry, normal };
    }
    case 'steady':
      return steadyEvidence(entry);
  }
}

/** A hold that was cut short by the hand tells nothing of steadiness; one that never settled does. */
function steadyEvidence(entry: EntryOf<'steady'>): AttemptEvidence | null {
  const { check, hold, span, maxDropOuts, maxWander, outcome } = entry;
  const reading = whileClosed(entry);
  const opened = hold === null ? 0 : hold.dropOuts.count + hold.dropOuts.subReading;
  const unsteady = hold === null ? outcome === 'unsteady' : opened > maxDropOuts || (span?.wander ?? 0) > maxWander;
  if (hold !== null && outcome === 'unsteady') return null;
  return reading === null && !unsteady ? null : { check, kind: 'reading', quantity: 'resistance', reading, unsteady };
}

/** Usual uncertainty of the middle of what a restless path read while closed, relative (our choice; common practice, no source). */
const restlessShare = 0.1;

/** The settled reading; of a touch that met an opening when it was read, what the path read in the middle while it was closed. */
function whileClosed({ reading, span }: EntryOf<'steady'>): AttemptMeasured | null {
  if (span === null || reading?.state === 'in-range') return measured(reading);
  return { value: span.medianOhm, u: restlessShare * Math.abs(span.medianOhm), state: 'in-range' };
}

/** The press in the middle of those that closed, by its ohms. */
function typicalPress({ presses }: EntryOf<'presses'>): AttemptMeasured | null {
  const closed = presses.flatMap(({ reading }) => measured(reading) ?? []);
  const middle = median(closed.map(({ value }) => value));
  return closed.reduce<AttemptMeasured | null>(
    (best, one) => (best === null || Math.abs(one.value - middle) < Math.abs(best.value - middle) ? one : best),
    null,
  );
}

function measured(reading: StoredReading | null): AttemptMeasured | null {
  if (reading === null || reading.state === 'unreadable') return null;
  const { value, u, state } = reading;
  return { value, u, state };
}
