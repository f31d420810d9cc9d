import type { Outcome } from '../../measure/types.ts';
import { median } from '../../statistics/robust.ts';
import { type EvidenceOf, type Measured, measuredOf, type ReadingNumber } from '../evidence.ts';

/** What of a run of presses is evidence. */
export interface PressesAttempt {
  check: string;
  presses: readonly { outcome: Outcome; reading: ReadingNumber | null }[];
}

/** Returns what a run of presses says about the device. */
export function pressesEvidence({ check, presses }: PressesAttempt): EvidenceOf<'presses'> {
  const bad = presses.filter(({ outcome }) => outcome === 'fail').length;
  return { check, kind: 'presses', closed: typicalPress(presses), bad, count: presses.length };
}

/** The press in the middle of those that closed, by its ohms. */
function typicalPress(presses: PressesAttempt['presses']): Measured | null {
  const closed = presses.flatMap(({ reading }) => measuredOf(reading) ?? []);
  const middle = median(closed.map(({ value }) => value));
  return closed.reduce<Measured | null>(
    (best, one) => (best === null || Math.abs(one.value - middle) < Math.abs(best.value - middle) ? one : best),
    null,
  );
}
