import type { Model } from '../predict/model.ts';
import type { Belief } from '../types.ts';

/** A second fault less probable than this is as good as ruled out. */
const asGoodAsNone = 0.01;

/**
 * Returns whether the fault that a belief names is all that is wrong: the chance of a second, independent fault that would have shown in none of the checks
 * done is small. A fault counts as looked for when a check that it would change came out as on a device without it.
 */
export function isWholeFault(model: Model, belief: Belief): boolean {
  const { rules, suspects } = model;
  const leading = belief.suspects[0];
  if (leading === undefined || leading.faults.length > 1) return true;
  const done = new Set(belief.evidence.map(({ check }) => check));
  const tables = [...done].flatMap((id) => model.table(id) ?? []);
  let [all, unseen] = [0, 0];
  suspects.forEach(({ link, prior }, s) => {
    if (link === -1) return;
    all += prior;
    const isSeen = tables.some(
      ({ channels, seen }) => seen.has(s) || channels.some((channel) => channel.rowOf[s] !== -1),
    );
    if (!isSeen) unseen += prior;
  });
  return all === 0 || (rules.pairs.secondFaultShare * unseen) / all < asGoodAsNone;
}
