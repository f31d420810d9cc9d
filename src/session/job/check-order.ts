import type { Check, Guide } from '../../guide/types.ts';

/** How the device stands before the first of some checks. */
export interface DeviceSetup {
  power: 'on' | 'off' | null;
  /** A state of disassembly; null: closed, undefined: not known. */
  access: string | null | undefined;
}

/**
 * Returns checks (by id) so that the device is opened, closed and switched as seldom as their order
 * allows: what can be done as the device stands comes first, then what only needs it switched, then
 * the first of those that are left. Otherwise the order is kept.
 */
export function orderForFewSetups(guide: Guide, ids: readonly string[], setup: DeviceSetup): string[] {
  const left = ids.map((id) => guide.checks.find((check) => check.id === id)).filter((check) => check !== undefined);
  const ordered: Check[] = [];
  let { power, access } = setup;
  while (left.length > 0) {
    const asItIs = left.findIndex((check) => check.power === power && accessOf(check) === access);
    const switched = left.findIndex((check) => accessOf(check) === access);
    const [next] = left.splice(asItIs !== -1 ? asItIs : Math.max(0, switched), 1);
    ordered.push(next!);
    ({ power } = next!);
    access = accessOf(next!);
  }
  return ordered.map(({ id }) => id);
}

/**
 * Returns the guide's checks in its order, but within each run of checks in one state of
 * disassembly those with the same power together: an author's order of taking the device apart is
 * kept, and it is switched at most once in each.
 */
export function guideOrder(guide: Guide, ids: readonly string[]): string[] {
  const ordered: string[] = [];
  let run: string[] = [];
  let setup: DeviceSetup = { power: null, access: undefined };
  const flush = (): void => {
    if (run.length === 0) return;
    const sorted = orderForFewSetups(guide, run, setup);
    ordered.push(...sorted);
    const last = guide.checks.find((check) => check.id === sorted.at(-1))!;
    setup = { power: last.power, access: accessOf(last) };
    run = [];
  };
  for (const check of guide.checks) {
    if (!ids.includes(check.id)) continue;
    const first = guide.checks.find(({ id }) => id === run[0]);
    if (first !== undefined && accessOf(first) !== accessOf(check)) flush();
    run.push(check.id);
  }
  flush();
  return ordered;
}

/** Returns the state of disassembly that a check needs; null: the closed device. */
export function accessOf({ access }: Check): string | null {
  return access ?? null;
}
