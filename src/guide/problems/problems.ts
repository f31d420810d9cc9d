import { formatQuantity } from '../../measure/reading/format.ts';
import { type CheckKinds, kindOf, type Prediction, type SolveFor } from '../check-kind.ts';
import { solveCircuit } from '../circuit/circuit.ts';
import { openOhm } from '../circuit/faults.ts';
import { predictWith, solverFor } from '../circuit/predict.ts';
import { type Path, sourceOf } from '../file/source-map.ts';
import type { Check, Guide, GuideProblem } from '../types.ts';
import { coverProblems } from './cover-problems.ts';
import { placeProblems } from './place-problems.ts';
import { type Add, byPlace, problemAt } from './problem.ts';

/**
 * A healthy prediction is too near to a limit when fewer than this many standard deviations of its
 * spread lie between.
 */
const nearSigmas = 2;

/**
 * Returns what a guide's author should know before a device is on the bench, sorted by line; empty
 * for a sound guide.
 *
 * Errors are what makes a check worthless (it can't pass, or can't be measured); warnings are what
 * a guide can live with. Lines and columns are there for a guide that `parseGuide` made.
 */
export function problemsWith(guide: Guide, kinds: CheckKinds): GuideProblem[] {
  const healthy = predictWith(guide, kinds);
  return collected(guide, (add) => {
    soundness(guide, kinds, healthy, add);
    cutProblem(guide, add);
    placeProblems(guide, add);
    coverProblems(guide, kinds, healthy, add);
  });
}

/**
 * Returns the errors among a guide's problems, sorted by line, in a fraction of the time: with one
 * of them no device may be judged by it.
 */
export function guideErrors(guide: Guide, kinds: CheckKinds): GuideProblem[] {
  const found = collected(guide, (add) => soundness(guide, kinds, predictWith(guide, kinds), add));
  return found.filter(({ severity }) => severity === 'error');
}

function collected(guide: Guide, look: (add: Add) => void): GuideProblem[] {
  const source = sourceOf(guide);
  const problems: GuideProblem[] = [];
  look((severity, code, path, args = {}) => problems.push(problemAt(source, severity, code, path, args)));
  return problems.sort(byPlace);
}

function soundness(guide: Guide, kinds: CheckKinds, healthy: readonly Prediction[], add: Add): void {
  cautionProblems(guide, add);
  const solve = solverFor(guide);
  guide.checks.forEach((check, at) => {
    checkProblems({ guide, kinds, solve, add }, check, healthy[at]!, ['checks', at]);
  });
}

function cautionProblems(guide: Guide, add: Add): void {
  const shown = new Set(guide.cautions.map((caution) => caution.when));
  const speaks = guide.cautions.some(({ title, text }) => /lithium/i.test(`${title} ${text}`));
  guide.units.forEach((unit, at) => {
    if (unit.lithium && !speaks) add('error', 'caution.lithium', ['units', at, 'lithium'], { id: unit.id });
  });
  const first = (find: (check: Check) => boolean, code: string, field: string): void => {
    const at = guide.checks.findIndex(find);
    if (at >= 0) add('error', code, ['checks', at, field]);
  };
  const always = shown.has('always');
  if (!shown.has('power-on')) first((check) => check.power === 'on', 'caution.power', 'power');
  if (!shown.has('opened') && !always) first((check) => check.access !== undefined, 'caution.opened', 'access');
}

/** With every switch closed and nothing taken apart, the circuit should be in one piece. */
function cutProblem(guide: Guide, add: Add): void {
  const pressed = guide.keys.filter((key) => isNormally(guide, key.link, 'open')).map((key) => key.id);
  const keyed = new Set(guide.keys.map((key) => key.link));
  const stuck = guide.links.filter((link) => link.normally === 'open' && !keyed.has(link.id));
  const faults = stuck
    .filter((link) => link.kind === 'switch')
    .map((link) => ({ link: link.id, mode: 'stuck' as const }));
  const circuit = solveCircuit(guide, { power: 'on', pressed, faults, level: 'normal' });
  const parts: string[][] = [];
  for (const node of guide.nodes) {
    const part = parts.find(([first]) => circuit.resistanceOhm(first!, node) < openOhm);
    if (part === undefined) parts.push([node]);
    else part.push(node);
  }
  if (parts.length < 2) return;
  parts.sort((a, b) => b.length - a.length);
  for (const part of parts.slice(1)) {
    const args = { count: String(parts.length), nodes: some(part) };
    add('warning', 'circuit.cut', ['nodes', guide.nodes.indexOf(part[0]!)], args);
  }
}

function isNormally(guide: Guide, link: string, state: 'open' | 'closed'): boolean {
  return guide.links.find((one) => one.id === link)?.normally === state;
}

interface Looking {
  guide: Guide;
  kinds: CheckKinds;
  /** Solves the healthy device. */
  solve: SolveFor;
  add: Add;
}

function checkProblems({ guide, kinds, solve, add }: Looking, check: Check, healthy: Prediction, path: Path): void {
  const kind = kindOf(kinds, check);
  const own = kind.problems(guide, check);
  for (const { severity, code, at, args } of own) add(severity, code, [...path, ...at], args);
  if (check.power === 'on' && guide.rails.length === 0) add('error', 'power.no-rails', [...path, 'power']);
  const isUsable = own.every((problem) => problem.severity !== 'error');
  const more = isUsable ? (kind.healthyProblems?.(check, healthy, solve) ?? []) : [];
  for (const { severity, code, at, args } of more) add(severity, code, [...path, ...at], args);
  check.pads?.forEach((id, side) => {
    const states = guide.pads.find((pad) => pad.id === id)?.in;
    if (states === undefined || states.includes(check.access ?? '')) return;
    add('warning', 'pad.reach', [...path, 'pads', side], { pad: id, states: states.join(', ') });
  });
  if (!('limits' in check)) return;
  const { limits } = check;
  if (limits.quantity === 'resistance' && limits.min !== undefined && limits.min <= 0) {
    add('warning', 'limits.zero-min', [...path, 'limits', 'min']);
  }
  if (limits.quantity === 'resistance' && limits.min !== undefined && limits.min <= 0.1 && limits.max === undefined) {
    add('warning', 'limits.milli', [...path, 'limits', 'min'], {
      written: `${Number((limits.min * 1e3).toPrecision(4))} mohm`,
    });
  }
  if (!isUsable) return;
  const { ohm, releasedOhm } = healthy.predicted;
  const predicted = shown(healthy);
  if (ohm === openOhm && limits.max !== undefined) {
    add('error', 'pads.apart', [...path, 'pads'], { a: check.pads[0], b: check.pads[1] });
  } else if (ohm !== undefined && outside(ohm, limits)) {
    add('error', 'healthy.outside', [...path, 'limits'], { predicted });
  } else if (ohm === undefined && healthy.insideLimits === false) {
    add('error', 'healthy.outside', [...path, 'limits'], { predicted });
  } else if (healthy.insideLimits === false && releasedOhm !== undefined) {
    add('error', 'healthy.no-closure', [...path, 'key'], {
      predicted,
      released: formatQuantity(releasedOhm, 'resistance'),
    });
  } else if (healthy.predicted.dryOhm !== undefined && healthy.insideLimits === false) {
    add('error', 'healthy.film', [...path, 'factor'], {
      predicted,
      dry: formatQuantity(healthy.predicted.dryOhm, 'resistance'),
    });
  } else if (ohm !== undefined && ohm < openOhm && isNear(ohm, healthy.spread, limits)) {
    const spread = `${Number((healthy.spread * 100).toPrecision(2))} %`;
    add('warning', 'healthy.near', [...path, 'limits'], { predicted, spread });
  }
}

function outside(ohm: number, { min, max }: { min?: number; max?: number }): boolean {
  return (min !== undefined && ohm < min) || (max !== undefined && ohm > max);
}

function isNear(ohm: number, spread: number, { min, max }: { min?: number; max?: number }): boolean {
  const slack = nearSigmas * spread * ohm;
  return (max !== undefined && ohm + slack > max) || (min !== undefined && ohm - slack < min);
}

function shown({ predicted: { ohm, volt, answer } }: Prediction): string {
  if (ohm !== undefined) return ohm >= openOhm ? 'open' : formatQuantity(ohm, 'resistance');
  return volt === undefined ? (answer ?? '') : formatQuantity(volt, 'voltage');
}

function some(nodes: readonly string[]): string {
  const few = nodes.slice(0, 4).join(', ');
  return nodes.length > 4 ? `${few} and ${nodes.length - 4} more` : few;
}
