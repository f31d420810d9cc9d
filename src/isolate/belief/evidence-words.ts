import type { Evidence, Measured } from '../../checks/evidence.ts';
import type { Check, Guide } from '../../guide/types.ts';
import { formatLimits, formatQuantity, formatRounded } from '../../measure/reading/format.ts';
import type { Quantity } from '../../measure/types.ts';
import { nothingWrong, notInGuide } from '../suspects/suspects.ts';
import type { DecisionOption } from '../types.ts';

/**
 * Returns what was seen, where, against what was wanted: `Left spring (S1 and J1) read 47 ohm,
 * where at most 0.6 ohm is right`. No full stop.
 */
export function evidenceWords(guide: Guide, evidence: Evidence): string {
  const check = guide.checks.find(({ id }) => id === evidence.check);
  return check === undefined
    ? evidence.check
    : `${checkWords(check)}${evidence.kind === 'look' ? ': ' : ' '}${seenWords(check, evidence)}`;
}

/** Returns a check's title with its pads: `Left spring (S1 and J1)`. */
export function checkWords(check: Check): string {
  const pads = check.pads === undefined ? '' : ` (${check.pads[0]} and ${check.pads[1]})`;
  return `${check.title}${pads}`;
}

function seenWords(check: Check, evidence: Evidence): string {
  switch (evidence.kind) {
    case 'resistance':
    case 'voltage':
    case 'steady': {
      const read =
        evidence.reading === null ? 'never settled' : `read ${measuredWords(evidence.reading, evidence.quantity)}`;
      return `${read}${evidence.unsteady && evidence.reading !== null ? ' and was unsteady' : ''}${wanted(check)}`;
    }
    case 'dry-normal': {
      const [dry, normal] = [evidence.dry, evidence.normal].map((m) => measuredWords(m, 'resistance'));
      return `read ${dry} dry and ${normal} at the normal level${wanted(check)}`;
    }
    case 'presses': {
      const closed = evidence.closed === null ? '' : `, closed at ${measuredWords(evidence.closed, 'resistance')}`;
      return `failed ${evidence.bad} of ${evidence.count} presses${closed}`;
    }
    case 'look':
      return check.kind === 'look' ? `'${check.question}' was answered ${evidence.answer}` : evidence.answer;
    case 'bridge':
      if (!evidence.proven) return 'was never shown to conduct';
      if (evidence.answer === 'unsure') return 'conducted, but what the device did was not seen';
      return evidence.answer === 'yes'
        ? 'conducted, and the device responded'
        : 'conducted, and the device did nothing';
  }
}

function wanted(check: Check): string {
  return 'limits' in check ? `, where ${formatLimits(check.limits)} is right` : '';
}

/** To the digits that two standard uncertainties, about 95 %, allow. */
function measuredWords({ value, u, state }: Measured, quantity: Quantity): string {
  if (state === 'above-range') return quantity === 'resistance' ? 'open' : `above ${formatQuantity(value, quantity)}`;
  if (state === 'unreadable') return 'nothing readable';
  return u > 0 ? formatRounded(value, 2 * u, quantity) : formatQuantity(value, quantity);
}

/**
 * Returns decisions as they stand after `rules out` or `speaks for`: `the jack board and the main
 * board`.
 */
export function decisionWords(options: readonly DecisionOption[]): string {
  return listWords(
    options.map(({ id, name }) => {
      if (id === nothingWrong) return 'a device without a fault';
      return id === notInGuide ? name : `the ${name}`;
    }),
  );
}

/** Returns `a`, `a and b`, or `a, b and c`. */
export function listWords(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}
