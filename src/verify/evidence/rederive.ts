import { runOutcome } from '../../checks/presses/judge.ts';
import { judge } from '../../checks/registry.ts';
import type { Calibration, Limits, Outcome } from '../../measure/types.ts';
import type { EntryOf, StoredPress } from '../../record/entries/entries.ts';
import { decided, type Rederivation, rederiveMeasured } from './rederive-reading.ts';

/** Returns how a resistance or voltage capture compares with its own raw codes. */
export function rederiveReading(entry: EntryOf<'capture'>, calibration: Calibration | null): Rederivation {
  const found = rederiveMeasured({ ...entry, calibration, window: entry.capture?.window ?? null });
  const { window, contact } = entry.capture ?? {};
  if (window !== undefined && entry.quantity === 'resistance' && window.level !== entry.level) {
    found.discrepancies.push({
      code: 'evidence.level',
      what: `the codes were read at the ${window.level} level, the entry says ${entry.level}`,
      compared: { stands: entry.level, due: window.level },
    });
  }
  const isOpen = entry.reading?.state === 'above-range' && entry.quantity === 'resistance';
  if (decided.includes(entry.outcome) && isOpen && entry.by === 'settled' && contact?.seated === false) {
    found.discrepancies.push({
      code: 'evidence.unseated',
      what: 'an open was taken by itself though the tips were not seen to touch anything',
    });
  }
  return found;
}

/** Returns how a proof of the probe compares with its own raw codes. */
export function rederiveProof(entry: EntryOf<'proof'>, calibration: Calibration | null): Rederivation {
  const limits: Limits = { quantity: 'resistance', ...entry.expected };
  return rederiveMeasured({ ...entry, limits, pInside: null, calibration, window: entry.capture?.window ?? null });
}

/**
 * Returns how a run of presses compares with the codes of each press, and its outcome with theirs.
 */
export function rederivePresses(
  entry: EntryOf<'presses'>,
  calibration: Calibration | null,
  isLossy: boolean,
): Rederivation {
  const found: Rederivation = { discrepancies: [], derived: 0, withheld: 0 };
  entry.presses.forEach((press, index) => {
    const one = rederivePress(press, entry, calibration);
    found.derived += one.derived;
    found.withheld += one.withheld;
    for (const { what, ...rest } of one.discrepancies)
      found.discrepancies.push({ ...rest, what: `press ${index + 1}: ${what}` });
  });
  // presses that nobody saw may have been lost on their way: then the run says nothing
  const said = isLossy && entry.outcome === 'unsteady' ? null : whyRunIsNot(entry);
  if (said !== null) found.discrepancies.push({ code: 'derive.outcome', what: said });
  return found;
}

/** Returns how an observation's outcome compares with its answer. */
export function rederiveLook(entry: EntryOf<'observation'>): Rederivation {
  const { outcome } = judge('look', entry);
  const what = `the answer '${entry.answer}' gives ${outcome}, the entry says ${entry.outcome}`;
  const right = entry.outcome === outcome;
  return {
    discrepancies: right ? [] : [{ code: 'derive.outcome', what, compared: { stands: entry.outcome, due: outcome } }],
    derived: 1,
    withheld: 0,
  };
}

function rederivePress(press: StoredPress, entry: EntryOf<'presses'>, calibration: Calibration | null): Rederivation {
  const bouncy = entry.maxBounceUs !== null && press.bounceUs > entry.maxBounceUs;
  if (!press.missed && !bouncy) {
    return rederiveMeasured({ ...press, limits: entry.limits, rule: entry.rule, pInside: null, calibration });
  }
  // a key that did not close, or bounced for too long, is bad whatever it read
  const right = bouncy ? press.outcome === 'fail' : press.outcome !== 'pass' && press.outcome !== 'borderline';
  const why = bouncy ? `it bounced for ${press.bounceUs} us` : 'it was missed';
  const what = `${why}, the entry says ${press.outcome}`;
  const isFail = press.outcome === 'fail';
  return {
    discrepancies: right ? [] : [{ code: 'derive.outcome', what }],
    derived: isFail ? 1 : 0,
    withheld: isFail ? 0 : 1,
  };
}

/**
 * Bad presses above `maxBad` are a fail; a pass needs all presses, and all but `maxBad` of them
 * good.
 */
function whyRunIsNot({ presses, count, maxBad, outcome }: EntryOf<'presses'>): string | null {
  const outcomes = presses.map((press) => press.outcome);
  const cutShort = presses.length < count ? 'fewer presses than were asked for' : null;
  const expected = runOutcome({ outcomes, maxBad, cutShort });
  // a run that is said to be undecided claims nothing, unless it has failed
  const right = outcome === expected || (expected !== 'fail' && !['pass', 'fail'].includes(outcome));
  if (right) return null;
  const of = (one: Outcome): number => outcomes.filter((each) => each === one).length;
  const counted = `${of('fail')} bad and ${of('pass')} good of ${presses.length} presses (${count} asked for, ${maxBad} may be bad)`;
  return `${counted} give ${expected}, the entry says ${outcome}`;
}
