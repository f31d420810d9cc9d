import type { HoldBucket } from '../../measure/contact/steady-hold.ts';
import { decide } from '../../measure/judge/decide.ts';
import { type HoldSpan, holdSpan } from '../../measure/judge/hold-span.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import type { Calibration, ContactSummary, Level, Limits, Outcome, Reading, Rule } from '../../measure/types.ts';
import { type ReadWindow, readingOf } from '../judge-reading.ts';
import type { Judged } from '../kind.ts';

/** A settled touch and how it was held. */
export interface RawHold extends ReadWindow, HoldLimits {
  level: Level;
  calibration: Calibration;
  /** Null: nothing was held. */
  hold: { buckets: readonly HoldBucket[]; dropOuts: ContactSummary['dropOuts'] } | null;
}

/** Returns what a held touch comes to; its `reading` is the settled one. */
export function judgeSteady(raw: RawHold): Judged & { reading: Reading; span: HoldSpan | null; isUnsteady: boolean } {
  const { hold, level, calibration } = raw;
  const reading = readingOf(raw, calibration);
  const span = hold === null ? null : holdSpan(hold.buckets, level, calibration);
  return { reading, span, ...decideHold(reading, span, hold?.dropOuts ?? noDropOuts, raw) };
}

const noDropOuts: ContactSummary['dropOuts'] = { count: 0, longestUs: 0, totalUs: 0, subReading: 0 };

/** What a hold is held against. */
export interface HoldLimits {
  limits: Limits;
  rule: Rule;
  maxDropOuts: number;
  maxWander: number;
}

/**
 * Returns what a held touch comes to: the settled reading against the limits first; then its
 * openings and its wandering.
 *
 * Tips that feel their seat tell an opening of the path from a hand that slipped, so openings and
 * wandering are the device's: a fail. `span` null: nothing was held.
 */
export function decideHold(
  settled: Reading,
  span: HoldSpan | null,
  dropOuts: ContactSummary['dropOuts'],
  against: HoldLimits,
): { outcome: Extract<Outcome, 'pass' | 'fail' | 'borderline'>; isUnsteady: boolean; why: string } {
  const { limits, rule, maxDropOuts, maxWander } = against;
  const decision = decide(settled, limits, rule);
  const opened = dropOuts.count + dropOuts.subReading;
  const dropped = opened > maxDropOuts;
  const wandered = span !== null && span.wander > maxWander;
  const isUnsteady = dropped || wandered;
  const troubles: string[] = [];
  if (dropped) troubles.push(openedText(dropOuts));
  if (wandered) {
    const from = formatQuantity(span.minOhm, 'resistance');
    troubles.push(`wandered from ${from} to ${formatQuantity(span.maxOhm, 'resistance')}`);
  }
  if (decision.outcome === 'fail') return { outcome: 'fail', isUnsteady, why: [decision.why, ...troubles].join('; ') };
  if (isUnsteady) return { outcome: 'fail', isUnsteady, why: `${troubles.join('; ')} while held (${decision.why})` };
  if (span === null) return { outcome: 'borderline', isUnsteady, why: `${decision.why}; nothing was held` };
  return { outcome: decision.outcome, isUnsteady, why: `${decision.why}; steady while held` };
}

function openedText({ count, longestUs, subReading }: ContactSummary['dropOuts']): string {
  const times = (n: number): string => (n === 1 ? 'once' : `${n} times`);
  if (count === 0) return `dropped out at least ${times(subReading)}, shorter than one reading`;
  return `dropped out ${times(count)}, for at most ${(longestUs / 1000).toFixed(1)} ms`;
}
