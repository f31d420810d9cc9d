import { predictChecks } from '../checks/guides.ts';
import { faultWeight, linkKinds } from '../guide/circuit/link-kinds.ts';
import type { Fault, FaultMode, Guide } from '../guide/types.ts';
import { decisionOf } from '../isolate/suspects/suspects.ts';

/** What a set of checks comes to. */
export interface ChosenChecks {
  /** Ids, in the guide's order. */
  checks: string[];
  /** Ways to fail that no check shows, by link. */
  unseen: Map<string, FaultMode[]>;
  /** Pairs of what may be decided that no check parts, as `UNIT` or `UNIT|UNIT`. */
  alike: [string, string][];
}

const mostChecks = 40;

/**
 * Returns the checks of a guide that part most pairs of faults with different decisions per minute
 * (a greedy cover), nothing wrong among them, and a check for each link that one can show.
 */
export function chooseChecks(guide: Guide): ChosenChecks {
  const faults = guide.links.flatMap((link) =>
    linkKinds[link.kind].modes
      .filter((mode) => mode !== 'intermittent' && faultWeight(link, mode) > 0)
      .flatMap((mode): { fault: Fault; decision: string }[] => {
        const decision = decisionOf(guide, link);
        if (mode !== 'short') return [{ fault: { link: link.id, mode }, decision }];
        return link.near.map((node) => ({ fault: { link: link.id, mode, node }, decision }));
      }),
  );
  const healthy = predictChecks(guide).map(({ insideLimits }) => insideLimits);
  const turned = faults.map(({ fault }) =>
    predictChecks(guide, { faults: [fault] }).map(({ insideLimits }, at) => insideLimits !== healthy[at]),
  );
  const rows = [...turned, healthy.map(() => false)];
  const decisions = [...faults.map(({ decision }) => decision), 'none'];
  let open: [number, number][] = [];
  rows.forEach((_, a) => {
    for (let b = a + 1; b < rows.length; b++) if (decisions[a] !== decisions[b]) open.push([a, b]);
  });
  const chosen = new Set<number>();
  while (chosen.size < mostChecks && open.length > 0) {
    let best: { at: number; worth: number } | null = null;
    guide.checks.forEach((check, at) => {
      if (chosen.has(at)) return;
      const parted = open.filter(([a, b]) => rows[a]![at] !== rows[b]![at]).length;
      const worth = parted / Math.max(0.5, check.minutes);
      if (parted > 0 && (best === null || worth > best.worth)) best = { at, worth };
    });
    if (best === null) break;
    const { at } = best as { at: number };
    chosen.add(at);
    open = open.filter(([a, b]) => rows[a]![at] === rows[b]![at]);
  }
  // what only comes and goes shows in a touch that is held
  guide.checks.forEach((check, at) => {
    if (check.kind === 'steady') chosen.add(at);
  });
  const unseen = new Map<string, FaultMode[]>();
  faults.forEach(({ fault: { link, mode } }, k) => {
    if ([...chosen].some((at) => turned[k]![at])) return;
    unseen.set(link, [...new Set([...(unseen.get(link) ?? []), mode])]);
  });
  const pairs = new Map(
    open
      .filter(([, b]) => decisions[b] !== 'none')
      .map(([a, b]) => {
        const pair = [decisions[a]!, decisions[b]!].sort() as [string, string];
        return [pair.join(' '), pair];
      }),
  );
  return {
    checks: guide.checks.filter((_, at) => chosen.has(at)).map(({ id }) => id),
    unseen,
    alike: [...pairs.values()],
  };
}
