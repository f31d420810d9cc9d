import { faultModes, faultWeight } from '../../guide/circuit/link-kinds.ts';
import type { FaultMode, Guide } from '../../guide/types.ts';
import { mends } from '../repair/repair-plan.ts';
import type { Belief } from '../types.ts';

/**
 * How often a fault was confirmed; a case whose fault stayed open between several counts in parts.
 */
export interface ConfirmedFault {
  link: string;
  mode: FaultMode;
  count: number;
}

/** A weight as it is and as the confirmed faults would have it. */
export interface ProposedWeight {
  link: string;
  mode: FaultMode;
  before: number;
  count: number;
  after: number;
  /** Share of all faults of the guide, before and after. */
  shareBefore: number;
  shareAfter: number;
}

export type ProposedWeights = { ok: true; weights: ProposedWeight[] } | { ok: false; what: string };

/**
 * Returns the weights of a guide after confirmed faults, in the guide's order, or why a count makes
 * no sense.
 *
 * The ways to fail are a categorical variable with a Dirichlet prior whose parameters are the
 * guide's weights, so the posterior's are weight plus count, and a share after is the posterior
 * mean, (weight + count) / (sum of weights + sum of counts). The weights' sum is thus how many
 * cases the guide's opinion is worth. A weight of 0 stays one as long as nothing was counted.
 */
export function proposeWeights(guide: Guide, confirmed: readonly ConfirmedFault[]): ProposedWeights {
  const counts = new Map<string, number>();
  for (const { link, mode, count } of confirmed) {
    const found = guide.links.find(({ id }) => id === link);
    if (found === undefined) return { ok: false, what: `the guide '${guide.id}' has no link '${link}'` };
    if (!(faultModes as readonly string[]).includes(mode)) return { ok: false, what: `'${mode}' is no way to fail` };
    if (!Number.isFinite(count) || count < 0) {
      return { ok: false, what: `${link}=${mode} was confirmed ${count} times; a count is 0 or more` };
    }
    counts.set(`${link}=${mode}`, (counts.get(`${link}=${mode}`) ?? 0) + count);
  }
  const rows = guide.links.flatMap((link) =>
    faultModes.flatMap((mode) => {
      const before = faultWeight(link, mode);
      const count = counts.get(`${link.id}=${mode}`) ?? 0;
      return before > 0 || count > 0 ? [{ link: link.id, mode, before, count, after: before + count }] : [];
    }),
  );
  const sum = (of: (row: (typeof rows)[number]) => number): number => rows.reduce((total, row) => total + of(row), 0);
  const [totalBefore, totalAfter] = [sum((row) => row.before), sum((row) => row.after)];
  const share = (part: number, total: number): number => (total > 0 ? part / total : 0);
  return {
    ok: true,
    weights: rows.map((row) => ({
      ...row,
      shareBefore: share(row.before, totalBefore),
      shareAfter: share(row.after, totalAfter),
    })),
  };
}

/**
 * Returns the faults that a successful repair confirms, one case in all: the suspects that it
 * mends, in proportion to what was believed of them before it. Empty when it mends none of them, so
 * that nothing is learnt from a repair that fits no reading.
 */
export function confirmedBy(guide: Guide, belief: Pick<Belief, 'suspects'>, repair: string): ConfirmedFault[] {
  const done = guide.repairs.find(({ id }) => id === repair);
  if (done === undefined) return [];
  const mended = belief.suspects.flatMap(({ faults, p }) => {
    const those = faults.filter((fault) => mends(done, fault));
    // half a repair mends nothing: of two faults at once both are among those that it is for
    return those.length > 0 && those.length === faults.length
      ? those.map((fault) => ({ fault, p: p / those.length }))
      : [];
  });
  const total = mended.reduce((sum, { p }) => sum + p, 0);
  if (!(total > 0.01)) return [];
  const counts = new Map<string, ConfirmedFault>();
  for (const { fault, p } of mended) {
    const key = `${fault.link}=${fault.mode}`;
    const known = counts.get(key) ?? { link: fault.link, mode: fault.mode, count: 0 };
    counts.set(key, { ...known, count: known.count + p / total });
  }
  // the tails of a belief are no cases: at least a tenth, and one case in all again
  const kept = [...counts.values()].filter(({ count }) => count >= 0.1);
  const sum = kept.reduce((part, { count }) => part + count, 0);
  return kept.map((one) => ({ ...one, count: one.count / sum }));
}
