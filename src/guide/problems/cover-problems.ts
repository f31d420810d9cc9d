import type { CheckKinds, Prediction } from '../check-kind.ts';
import { solveCircuit } from '../circuit/circuit.ts';
import { canFail, faultModes, faultWeight } from '../circuit/link-kinds.ts';
import { predictWith } from '../circuit/predict.ts';
import type { Path } from '../file/source-map.ts';
import type { Check, Guide, Link } from '../types.ts';
import type { Add } from './problem.ts';

/**
 * Above this (links x checks x nodes squared) a guide is not gone through fault by fault: it would
 * take minutes.
 */
const mostWork = 3e8;

/** What no check can see, and what no repair mends: the faults that this guide would never find. */
export function coverProblems(guide: Guide, kinds: CheckKinds, healthy: readonly Prediction[], add: Add): void {
  guide.links.forEach((link, at) => {
    linkProblems(guide, link, ['links', at], add);
  });
  guide.units.forEach((unit, at) => {
    const isUsed = guide.links.some((link) => link.unit === unit.id || link.between?.includes(unit.id) === true);
    if (!isUsed) add('warning', 'unit.unused', ['units', at], { id: unit.id });
  });
  if (guide.links.length * guide.checks.length * guide.nodes.length ** 2 > mostWork) {
    add('warning', 'cover.large', []);
    return;
  }
  const seen = new Set<string>();
  const blind = new Set(guide.checks.map((check) => check.id));
  for (const link of guide.links) {
    for (const mode of ['open', 'film', 'weak', 'stuck', 'high'] as const) {
      if (!canFail(link.kind, mode)) continue;
      predictWith(guide, kinds, { faults: [{ link: link.id, mode }] }).forEach(({ check, insideLimits }, at) => {
        if (insideLimits === healthy[at]!.insideLimits) return;
        blind.delete(check);
        if (mode === 'open') seen.add(link.id);
      });
    }
  }
  guide.links.forEach((link, at) => {
    if (!seen.has(link.id) && !isDoubled(guide, link)) add('warning', 'link.unseen', ['links', at], { id: link.id });
  });
  guide.checks.forEach((check, at) => {
    if (blind.has(check.id) && !isInsulation(check)) add('warning', 'check.blind', ['checks', at]);
  });
}

function linkProblems(guide: Guide, link: Link, path: Path, add: Add): void {
  const { id } = link;
  if (link.weights.short !== undefined && link.weights.short > 0 && link.near.length === 0) {
    add('warning', 'link.short-nowhere', [...path, 'weights', 'short'], { id });
  }
  if (faultModes.every((mode) => faultWeight(link, mode) === 0)) {
    add('warning', 'link.weights', [...path, 'weights'], { id });
  }
  const isMended = guide.repairs.some((repair) => repair.fixes.some((fix) => fix.link === id));
  if (guide.repairs.length > 0 && !isMended) add('warning', 'repair.none', path, { id });
}

/** A link with others beside it: open, it changes little, for the device as for the checks. */
function isDoubled(guide: Guide, link: Link): boolean {
  const faults = [{ link: link.id, mode: 'open' as const }];
  const circuit = solveCircuit(guide, { power: 'off', pressed: [], faults, level: 'normal' });
  return circuit.resistanceOhm(link.from, link.to) <= 10 * link.ohm;
}

/** Insulation is there for shorts, whose other ends a guide does not list. */
function isInsulation(check: Check): boolean {
  return check.kind === 'resistance' && check.limits.max === undefined;
}
