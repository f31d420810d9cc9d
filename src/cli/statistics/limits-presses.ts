import {
  type Characteristic,
  fixedCharacteristic,
  pressesThatSuffice,
  sequentialCharacteristic,
} from '../../calibrate/limits/press-plans.ts';
import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { loadGuide } from '../../guide/file/load.ts';
import type { PressesCheck } from '../../guide/types.ts';
import { chosenShare } from '../../statistics/percent.ts';
import { planTrouble, type SprtPlan, sprtLines } from '../../statistics/sprt.ts';
import { successRunLength, successRunShare } from '../../statistics/success-run.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { LimitsPressesOptions } from './limits-presses-command.ts';

/**
 * `limits presses`: prints what numbers of presses show, and the operating characteristic of press
 * checks and of a sequential test.
 */
export async function limitsPresses(
  file: string | undefined,
  options: LimitsPressesOptions,
  { terminal, signal }: Context,
): Promise<number> {
  const { confidence, cap } = options;
  const plan: SprtPlan = { p0: options.acceptable, p1: options.rejectable, alpha: options.alpha, beta: options.beta };
  const trouble = planTrouble(plan);
  if (trouble !== null) {
    throw new OhmwrightError('limits.plan', trouble, {
      help: 'give --acceptable below --rejectable, and small risks --alpha and --beta',
    });
  }
  const guide = file === undefined ? null : (await loadGuide(file, checkKinds, signal)).guide;
  const checks = (guide?.checks ?? []).filter((check): check is PressesCheck => check.kind === 'presses');
  const shares = sharesAround(plan);
  const runs = goodShares.map((share) => ({ share, presses: successRunLength(share, confidence) }));
  const sequential = shares.map((p) => sequentialCharacteristic(p, plan, cap));
  const fixed = checks.map(({ id, title, count, maxBad }) => ({
    check: id,
    title,
    count,
    maxBad,
    shows: maxBad === 0 ? successRunShare(count, confidence) : null,
    characteristic: shares.map((p) => fixedCharacteristic(p, count, maxBad)),
  }));
  const lines = sprtLines(plan);
  // a key whose share of bad presses is the slope itself keeps the test waiting longest
  const longest = pressesThatSuffice(lines.slope, plan, 0.05, mostPresses);
  if (options.json) {
    const sprt = { ...plan, cap, ...lines, longest };
    // plan is the name that it had before
    printJson(terminal, { confidence, successRuns: runs, sequentialTest: sprt, plan: sprt, sequential, checks: fixed });
    return exitCodes.passed;
  }
  terminal.out(
    `Presses in a row, all good, that show a share of good presses with ${chosenShare(confidence)} confidence`,
  );
  for (const { share, presses } of runs) terminal.out(`  at least ${chosenShare(share).padEnd(7)} ${presses}`);
  terminal.out('');
  for (const { check, title, count, maxBad, shows, characteristic } of fixed) {
    const claim = shows === null ? '' : `; all good shows at least ${Math.floor(shows * 1000) / 10} % good`;
    terminal.out(`${check}  ${title}: ${count} presses, ${maxBad} may be bad${claim}`);
    for (const line of table(characteristic, false)) terminal.out(line);
    terminal.out('');
  }
  terminal.out(
    `Sequential test (Wald): up to ${chosenShare(plan.p0)} bad is acceptable, from ${chosenShare(plan.p1)} on it is not; risks ${chosenShare(plan.alpha)} and ${chosenShare(plan.beta)}; at most ${cap} presses`,
  );
  const zeroBad = Math.ceil(-lines.accept / lines.slope - 1e-9);
  terminal.out(
    `  accept at b <= ${signed(lines.accept)} + ${lines.slope.toFixed(4)} n bad of n, reject at b >= ${signed(lines.reject)} + ${lines.slope.toFixed(4)} n; with none bad it accepts after ${zeroBad} presses`,
  );
  terminal.out(
    longest < mostPresses
      ? `  of keys with ${chosenShare(lines.slope, 3)} bad, which take longest, 95 % are decided within ${longest} presses`
      : `  keys with ${chosenShare(lines.slope, 3)} bad may take more than ${mostPresses} presses`,
  );
  for (const line of table(sequential, true)) terminal.out(line);
  return exitCodes.passed;
}

/** Nobody presses a key more often for one check. */
const mostPresses = 2000;

/** Shares of good presses that are worth a line. */
const goodShares = [0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999];

/** Shares of bad presses from well below the acceptable one to well above the rejectable one. */
function sharesAround({ p0, p1 }: SprtPlan): number[] {
  const middle = Math.sqrt(p0 * p1);
  const shares = [
    0,
    p0 / 2,
    p0,
    Math.sqrt(p0 * middle),
    middle,
    Math.sqrt(middle * p1),
    p1,
    (1 + 2 * p1) / 3,
    (2 + p1) / 3,
  ];
  return shares.map((share) => Number(share.toPrecision(3)));
}

function table(rows: Characteristic[], isSequential: boolean): string[] {
  const head = ['bad presses', 'accepts', 'rejects', ...(isSequential ? ['undecided', 'presses (mean)'] : [])];
  const cells = rows.map(({ p, accept, reject, undecided, presses }) => [
    chosenShare(p, 3),
    chance(accept),
    chance(reject),
    ...(isSequential ? [chance(undecided), presses.toFixed(1)] : []),
  ]);
  return [head, ...cells].map((row) => `  ${row.map((cell, i) => cell.padStart(head[i]!.length + 2)).join('')}`);
}

function chance(p: number): string {
  return `${(100 * p).toFixed(2)} %`;
}

function signed(value: number): string {
  return value.toFixed(3);
}
