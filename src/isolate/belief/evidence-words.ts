import type { Evidence } from '../../checks/evidence.ts';
import type { Check, Guide } from '../../guide/types.ts';
import { kindModelOf } from '../kinds/registry.ts';
import { nothingWrong, notInGuide } from '../suspects/suspects.ts';
import type { DecisionOption } from '../types.ts';

/**
 * Returns what was seen, where, against what was wanted: `Left spring (S1 and J1) read 47 ohm,
 * where at most 0.6 ohm is right`. No full stop.
 */
export function evidenceWords(guide: Guide, evidence: Evidence): string {
  const check = guide.checks.find(({ id }) => id === evidence.check);
  const { touches, words } = kindModelOf(evidence);
  return check === undefined ? evidence.check : `${checkWords(check)}${touches ? ' ' : ': '}${words(check, evidence)}`;
}

/** Returns a check's title with its pads: `Left spring (S1 and J1)`. */
export function checkWords(check: Check): string {
  const pads = check.pads === undefined ? '' : ` (${check.pads[0]} and ${check.pads[1]})`;
  return `${check.title}${pads}`;
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
