import { judge } from '../../checks/registry.ts';
import type { Check, Guide } from '../../guide/types.ts';
import { withRemark } from '../../measure/reading/calibration-remark.ts';
import type { Calibration, Limits, Outcome, Quantity, Reading, Rule } from '../../measure/types.ts';
import type { NewEntry } from '../../record/entries/entries.ts';
import { entryKindOf } from '../../record/kinds/stored-kinds.ts';
import type { JobStep } from '../job/job-step.ts';
import { isWorthAnotherTry } from './handler.ts';
import { captureOf, storedBudget } from './kinds/evidence-parts.ts';
import type { TouchPlan, TouchResult } from './touch.ts';

type ReadingCheck = Extract<Check, { kind: 'resistance' | 'voltage' }>;

/** What a touch came to, whatever it was a touch for. */
export interface TouchJudged {
  reading: Reading | null;
  outcome: Outcome;
  pInside: number | null;
  why: string;
}

/**
 * Returns the outcome of a touch: the trouble it met, or what its reading comes to as that of a
 * check of this kind.
 */
export function judgeTouch(
  kind: Quantity,
  { settled, trouble, why }: TouchResult,
  against: { calibration: Calibration; limits: Limits; rule: Rule },
): TouchJudged {
  const { reading = null } = settled ?? {};
  if (settled !== null && trouble === null) return judge(kind, { ...settled, ...against });
  const outcome = trouble ?? 'unsteady';
  return { reading, outcome, pInside: null, why: why ?? outcome };
}

/** Returns how a resistance or voltage check of the guide is measured and stored. */
export function readingCheck(guide: Guide, check: ReadingCheck): TouchPlan {
  const pads = check.pads;
  const held = check.pressed;
  return {
    byHand: true,
    power: () => check.power,
    mode: () => ({
      mode: check.kind,
      level: check.kind === 'resistance' ? check.level : 'normal',
      input: 'tips',
    }),
    prompt: () => ({ act: 'touch', pads, held, check: check.id }),
    entry: (step, result) => captureEntry(step, check, guide.rule, result),
    again: isWorthAnotherTry,
  };
}

function captureEntry(step: JobStep, check: ReadingCheck, rule: Rule, result: TouchResult): NewEntry {
  const { calibration } = step.state.probe!;
  const judged = judgeTouch(check.kind, result, { calibration, limits: check.limits, rule });
  return {
    kind: entryKindOf(check.kind),
    check: check.id,
    attempt: step.nextAttempt(check.id),
    phase: step.phase,
    quantity: check.kind,
    limits: check.limits,
    rule,
    level: check.kind === 'resistance' ? check.level : 'normal',
    power: check.power,
    by: result.settled?.by ?? 'settled',
    capture: captureOf(step, result.settled),
    reading: storedBudget(judged.reading),
    outcome: judged.outcome,
    pInside: judged.pInside,
    why: withRemark(judged.why, calibration, judged.reading),
  };
}
