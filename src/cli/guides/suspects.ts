import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { loadSoundGuide } from '../../guide/file/load.ts';
import { didYouMean } from '../../guide/file/near.ts';
import type { Guide } from '../../guide/types.ts';
import { believe } from '../../isolate/belief/belief.ts';
import { checkWords } from '../../isolate/belief/evidence-words.ts';
import { nextCheck, proposals } from '../../isolate/next/next-check.ts';
import { conclude } from '../../isolate/next/stopping.ts';
import { type Model, openModel } from '../../isolate/predict/model.ts';
import { suspectWords } from '../../isolate/suspects/suspect-words.ts';
import type { Belief, Conclusion, Proposal, RepairPlan, Situation } from '../../isolate/types.ts';
import { percent } from '../../statistics/percent.ts';
import { listedLines } from '../../view/text/list.ts';
import { conclusionWords } from '../../view/words/conclusion.ts';
import { costLines, minutesText, moneyText } from '../../view/words/plan.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { SuspectsOptions } from './suspects-command.ts';
import { typedEvidence } from './typed-evidence.ts';

/** Suspects shown, and proposals beside the next check. */
const shown = 6;

/**
 * `suspects`: what readings typed by hand say about a device: suspects, decisions, the next check,
 * the plan. Returns the exit code.
 */
export async function suspects(file: string, options: SuspectsOptions, { terminal }: Context): Promise<number> {
  const { guide } = await loadSoundGuide(file, checkKinds);
  const evidence = typedEvidence(guide, options.reading, options.observed);
  const situation = situationOf(guide, options, [...evidence.map(({ check }) => check), ...options.skip]);
  const model = openModel(guide);
  const belief = believe(model, evidence);
  if (!('decisions' in belief)) {
    throw new OhmwrightError('usage.evidence', `${belief.what}.`, { help: belief.help });
  }
  const worth = proposals(model, belief, situation);
  const conclusion = conclude(model, belief, situation);
  const next = conclusion.kind === 'open' ? nextCheck(model, belief, situation) : null;
  if (options.json) {
    const { kind, ...concluding } = conclusion;
    printJson(terminal, {
      guide: guide.id,
      evidence,
      belief: plain(belief),
      next,
      proposals: worth,
      concluded: { conclusion: kind, ...concluding },
      // the name that it had before
      conclusion,
    });
    return exitCodes.passed;
  }
  for (const line of beliefLines(model, belief)) terminal.out(line);
  for (const line of conclusionLines(guide, conclusion, next, worth)) terminal.out(line);
  return exitCodes.passed;
}

function situationOf(guide: Guide, { power, access, skip }: SuspectsOptions, done: string[]): Situation {
  const named = (what: string, id: string, known: string[]): void => {
    if (known.includes(id)) return;
    throw new OhmwrightError(`usage.${what}`, `the guide has no ${what} '${id}'${didYouMean(id, known)}.`, {
      help: `It has: ${known.join(', ')}.`,
    });
  };
  for (const id of skip)
    named(
      'check',
      id,
      guide.checks.map((check) => check.id),
    );
  if (access !== undefined && access !== 'closed')
    named(
      'access',
      access,
      guide.access.map((one) => one.id),
    );
  return { power: power ?? null, access: access === 'closed' ? null : access, done };
}

/** The evidence stands beside it already. */
function plain({ evidence: _, ...belief }: Belief) {
  return belief;
}

function beliefLines({ guide, suspects }: Model, belief: Belief): string[] {
  const share = (p: number): string => percent(p).padStart(6);
  const decisions = belief.decisions.filter(({ p }, k) => k === 0 || p >= 0.005).slice(0, shown);
  const suspected = belief.suspects.filter(({ p }, k) => k === 0 || p >= 0.005).slice(0, shown);
  return [
    `${guide.title}: after ${belief.evidence.length === 1 ? '1 check' : `${belief.evidence.length} checks`}`,
    ...decisions.map(({ name, p }) => `${share(p)}  ${'#'.repeat(Math.round(20 * p)).padEnd(20)}  ${name}`),
    'Suspects:',
    ...suspected.map((one) => `${share(one.p)}  ${suspectWords(guide, suspects, one)}`),
  ];
}

function conclusionLines(
  guide: Guide,
  conclusion: Conclusion,
  next: Proposal | null,
  worth: readonly Proposal[],
): string[] {
  const { kind, decisions, reasons, plan, beyond, notTested } = conclusion;
  const lines = [
    conclusionWords({ conclusion: kind, decisions }, false).long,
    ...reasons.map((reason) => `  ${reason}`),
  ];
  if (beyond !== null) lines.push(`  ${beyond}`);
  if (next !== null) {
    const check = guide.checks.find(({ id }) => id === next.check)!;
    lines.push(`Next: ${next.check}, ${checkWords(check)}. ${next.because}`);
    const others = worth.filter((one) => one !== next && one.check !== next.check).slice(0, 3);
    if (others.length > 0) {
      lines.push(
        `  Also worth it: ${others.map(({ check: id, bits, minutes }) => `${id} (${bits.toFixed(2)} bit, ${minutes} min)`).join(', ')}.`,
      );
    }
  }
  if (kind === 'none' && notTested.length > 0) {
    lines.push(
      ...listedLines(
        '  Not tested',
        notTested.map((id) => guide.checks.find((check) => check.id === id)!.title),
      ),
    );
  }
  return [...lines, ...planLines(guide, plan)];
}

function planLines({ currency }: Guide, plan: RepairPlan): string[] {
  if (plan.steps.length === 0) return [];
  const steps = plan.steps.map(
    ({ name, p, price, minutes }, k) =>
      `  ${k + 1}. ${name} (${moneyText(price, currency)}, ${minutesText(minutes)}): ${percent(p)} that this mends it`,
  );
  return ['Plan, each tested before the next:', ...steps, ...costLines(plan, currency).map((line) => `  ${line}`)];
}
