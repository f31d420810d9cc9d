import type { Check, Guide } from '../../guide/types.ts';
import { decide } from '../../measure/judge/decide.ts';
import { withRemark } from '../../measure/reading/calibration-remark.ts';
import { readWindow } from '../../measure/reading/read-window.ts';
import type { Calibration, Limits, Outcome, Reading, Rule } from '../../measure/types.ts';
import type { NewEntry } from '../../record/entries/entries.ts';
import type { Turn } from '../job/transition.ts';
import { isWorthAnotherTry } from './handler.ts';
import type { TouchPlan, TouchResult } from './touch.ts';

type MeasuredCheck = Extract<Check, { kind: 'resistance' | 'voltage' }>;

/** What a window says under a calibration, limits and rule; the same computation that `verify` does again. */
export interface Judged {
  reading: Reading | null;
  outcome: Outcome;
  pInside: number | null;
  why: string;
}

/** Returns the outcome of a touch: the trouble it met, or the decision on its reading. */
export function judge(result: TouchResult, calibration: Calibration, limits: Limits, rule: Rule): Judged {
  const reading = result.window === null ? null : readWindow(result.window, calibration);
  if (result.trouble !== null || reading === null) {
    const outcome = result.trouble ?? 'unsteady';
    return { reading, outcome, pInside: null, why: result.why ?? outcome };
  }
  const decision = decide(reading, limits, rule);
  return { reading, ...decision };
}

/** Returns how a resistance or voltage check of the guide is measured and stored. */
export function measuredCheck(guide: Guide, check: MeasuredCheck): TouchPlan {
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
    prompt: () => ({ act: 'touch', pads, held, check: check.id, text: touchText(guide, check) }),
    entry: (turn, result) => captureEntry(turn, check, guide.rule, result),
    again: isWorthAnotherTry,
  };
}

/** Returns what to do, in lines for a person: state of the device, what to touch, where each pad is. */
export function touchText(guide: Guide, check: Check & { pads: [string, string] }): string {
  const access = guide.access.find((a) => a.id === check.access);
  const state = `device ${check.power}${access === undefined ? '' : `, ${access.name}`}`;
  const place = (pad: string) => {
    const where = guide.pads.find((p) => p.id === pad)?.where ?? '';
    return where === '' ? pad : `${pad} (${where})`;
  };
  const [a, b] = check.pads;
  return [check.title, state, check.prompt, `Tip A: ${place(a)}`, `Tip B: ${place(b)}`].join('\n');
}

function captureEntry(turn: Turn, check: MeasuredCheck, rule: Rule, result: TouchResult): NewEntry {
  const probe = turn.state.probe!;
  const judged = judge(result, probe.calibration, check.limits, rule);
  return {
    kind: 'capture',
    check: check.id,
    attempt: turn.nextAttempt(check.id),
    phase: turn.phase,
    quantity: check.kind,
    limits: check.limits,
    rule,
    level: check.kind === 'resistance' ? check.level : 'normal',
    power: check.power,
    by: result.by,
    capture: captureOf(turn, result),
    reading: storedBudget(judged.reading),
    outcome: judged.outcome,
    pInside: judged.pInside,
    why: withRemark(judged.why, probe.calibration, judged.reading),
  };
}

/** The raw side of the evidence: codes, contact, probe and calibration; null when there was no contact to capture. */
export function captureOf(turn: Turn, result: Pick<TouchResult, 'window' | 'contact'>) {
  const probe = turn.state.probe!;
  if (result.window === null || result.contact === null) return null;
  return {
    window: result.window,
    contact: result.contact,
    probeSerial: probe.identity.probeSerial,
    calibration: probe.calibration.id,
  };
}

export function storedReading(reading: Reading | null) {
  if (reading === null) return null;
  const { value, u, dof, state } = reading;
  return { value, u, dof, state };
}

/** Returns a reading as stored with the parts of its uncertainty: for single readings, not for each of a run of presses. */
export function storedBudget(reading: Reading | null) {
  if (reading === null) return null;
  return {
    ...storedReading(reading)!,
    parts: Object.fromEntries(reading.parts.map(({ name, u }) => [name, u])),
  };
}
