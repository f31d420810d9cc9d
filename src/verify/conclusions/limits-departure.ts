import type { Guide } from '../../guide/types.ts';
import { canonicalJson } from '../../record/chain/canonical.ts';
import type { Entry } from '../../record/entries/entries.ts';

/**
 * Returns in what an attempt was judged otherwise than the guide in its record asks, or null: an outcome that follows from its own
 * limits and rule says nothing about the device when those are not the guide's. A check that the guide does not have is none of it.
 */
export function limitsDeparture(entry: Entry, guide: Guide): string | null {
  if (!('check' in entry) || !('limits' in entry)) return null;
  const check = guide.checks.find(({ id }) => id === entry.check);
  const due = check === undefined ? null : 'idle' in check ? check.idle : 'limits' in check ? check.limits : null;
  if (due === null) return null;
  if (canonicalJson(due) !== canonicalJson(entry.limits)) {
    return `${entry.check} was judged by other limits than those of the guide in this record`;
  }
  return canonicalJson(guide.rule) === canonicalJson(entry.rule)
    ? null
    : `${entry.check} was judged by another rule than that of the guide in this record`;
}
