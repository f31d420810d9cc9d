import { judge } from '../../../checks/registry.ts';
import type { BridgeCheck, Guide } from '../../../guide/types.ts';
import type { Outcome } from '../../../measure/types.ts';
import { entryKindOf } from '../../../record/kinds/stored-kinds.ts';
import type { LightChange } from '../../job/attempt-progress.ts';
import type { JobStep } from '../../job/job-step.ts';
import { storedReading } from './evidence-parts.ts';

export interface BridgeTask {
  guide: Guide;
  check: BridgeCheck;
}

/** What was said of the device's response, and by whom. */
export interface Answered {
  answer: 'yes' | 'no' | 'unsure';
  by: 'person' | 'button' | 'hands' | 'option' | 'light';
}

/** What kept a try from coming to a decision. */
export interface BridgeTrouble {
  outcome: Extract<Outcome, 'unsteady' | 'no-contact' | 'live'>;
  why: string;
}

/**
 * The display is watched by the probe's light sensor: the guide asks for it, and the probe has one.
 */
export function seesLight(step: JobStep, check: BridgeCheck): boolean {
  return check.answer === 'light' && step.state.probe?.identity.capabilities.includes('lightSensor') === true;
}

export function lightAfter(light: readonly LightChange[], fromUs: number, untilUs: number): LightChange | null {
  return light.find(({ tUs }) => tUs > fromUs && tUs <= untilUs) ?? null;
}

/**
 * Puts a try on record, with what it comes to: `trouble`, or the decision on its voltages and the
 * answer.
 */
export function recordBridge(
  task: BridgeTask,
  step: JobStep,
  answered: Answered | null,
  trouble: BridgeTrouble | null = null,
): void {
  const { check, guide } = task;
  const { run } = step;
  const probe = step.state.probe!;
  const begun = run.kindProgress?.kind === 'bridge' ? run.kindProgress : null;
  const closure = begun?.closure ?? null;
  const closedUs = closure?.closedUs ?? null;
  const byLight = seesLight(step, check);
  const light = byLight ? [...run.light] : [];
  const before = closedUs !== null && light.some(({ tUs }) => tUs <= closedUs);
  const seen = closedUs === null ? null : lightAfter(light, closedUs, closedUs + check.withinMs * 1000);
  const delayUs = answered?.by === 'light' && seen !== null && closedUs !== null ? seen.tUs - closedUs : null;
  const response = answered === null ? null : { answer: answered.answer, respondedBefore: before, delayUs };
  const { durationMs, collapse } = check;
  const against = { calibration: probe.calibration, limits: check.idle, rule: guide.rule, durationMs, collapse };
  const closed = closure === null ? null : { ...closure, proof: begun?.proof ?? null };
  const judged = begun === null ? null : judge('bridge', { idle: begun.idle, closed, response, ...against });
  run.stage = 'recording';
  step.append({
    kind: entryKindOf('bridge'),
    check: check.id,
    attempt: step.nextAttempt(check.id),
    phase: step.phase,
    power: 'on',
    idle:
      begun === null
        ? null
        : { window: begun.idle.window, contact: begun.idle.contact, reading: storedReading(begun.idle.reading) },
    limits: check.idle,
    rule: guide.rule,
    durationMs,
    collapse,
    closed: closure === null ? null : { ...closure, reading: storedReading(begun?.proof?.reading ?? null) },
    proven: begun?.proof?.proven ?? false,
    input: check.input,
    question: check.question,
    answer: answered?.answer ?? null,
    by: answered?.by ?? null,
    respondedBefore: before,
    light,
    withinMs: check.withinMs,
    delayUs,
    probeSerial: probe.identity.probeSerial,
    calibration: probe.calibration.id,
    outcome: trouble?.outcome ?? judged?.outcome ?? 'no-contact',
    why: trouble?.why ?? judged?.why ?? 'no-contact',
  });
}
