import { judge } from '../../../checks/registry.ts';
import type { Guide, PressesCheck } from '../../../guide/types.ts';
import { missedPress } from '../../../measure/contact/presses.ts';
import { extentOf, isTooMuchLost } from '../../../measure/judge/lost-readings.ts';
import { withRemark } from '../../../measure/reading/calibration-remark.ts';
import type { CaptureWindow, Rule } from '../../../measure/types.ts';
import type { Prompt } from '../../../ports/prompt.ts';
import { entryKindOf } from '../../../record/kinds/stored-kinds.ts';
import type { JobSessionEvent } from '../../job/job-session-state.ts';
import type { JobStep } from '../../job/job-step.ts';
import { type Arming, stepArming } from '../arming.ts';
import type { TaskHandler } from '../handler.ts';
import { askAfterStanding } from '../lift-first.ts';
import { isOverdue, leaveWhenLifted } from '../lifting.ts';
import { lostWords } from '../lost-readings.ts';
import { stepRecorded } from '../tips.ts';
import { askForPower } from '../touch.ts';
import { meetLive } from '../voltage-on-tips.ts';
import { storedReading } from './evidence-parts.ts';

/**
 * Returns the handler of a press check: tips stay on the pads, the key is pressed to a beat, each
 * closure is judged.
 */
export function pressesTask(guide: Guide, check: PressesCheck): TaskHandler {
  const arming: Arming = { arm: (step) => arm(step, check), prompt: () => pressPrompt(check) };
  return {
    start(step) {
      step.restart();
      askForPower(step, check.power);
      arming.arm(step);
    },
    on(step, event) {
      const armed = stepArming(arming, step, event);
      if (armed !== null) return armed;
      const run = step.run;
      switch (event.type) {
        case 'clock':
          return onClock(step, check, guide.rule, event.tUs);
        case 'press':
          if (run.stage !== 'waiting' && run.stage !== 'touching') return false;
          run.presses.push(event.press);
          if (run.presses.length >= check.count) finish(step, check, guide.rule, null);
          return false;
        case 'contact':
          return onContact(step, check, guide, event.contact);
        case 'appended':
          return stepRecorded(step, event.entry, 'presses');
        default:
          return false;
      }
    },
  };
}

function pressPrompt(check: PressesCheck): Omit<Prompt, 'id'> {
  const { pads, key, count, id } = check;
  return { act: 'press', pads, key, count, check: id };
}

function arm(step: JobStep, check: PressesCheck): void {
  step.setMode({ mode: 'resistance', level: check.level, input: 'tips' }, 'presses');
}

function onContact(
  step: JobStep,
  check: PressesCheck,
  guide: Guide,
  contactEvent: Extract<JobSessionEvent, { type: 'contact' }>['contact'],
): boolean {
  const run = step.run;
  if (contactEvent.kind === 'make') {
    run.lifted = false;
    if (run.stage === 'waiting') {
      run.lost = 0;
      run.stage = 'touching';
      run.sinceUs = contactEvent.tUs;
    }
  }
  if (contactEvent.kind === 'live' && contactEvent.on) meetLive(step, 'during');
  if (contactEvent.kind === 'lift') {
    run.lifted = true;
    // before the first closure it was only the landing: the tips are still being put on
    if (run.stage === 'touching' && run.presses.length === 0) run.stage = 'waiting';
    if (run.stage === 'touching' && run.abandoned) run.stage = 'waiting';
    if (run.stage === 'touching') finish(step, check, guide.rule, 'the tips lifted before the last press');
    askAfterStanding(step);
  }
  return leaveWhenLifted(step);
}

/** Beats the time while tips are on; closes the run when the last press is well overdue. */
function onClock(step: JobStep, check: PressesCheck, rule: Rule, tUs: number): boolean {
  const run = step.run;
  const { beatUs } = step.state.settings;
  if (run.stage === 'waiting') {
    run.sinceUs ??= tUs;
    if (isOverdue(step, tUs)) finish(step, check, rule, 'no contact');
    return false;
  }
  if (run.stage !== 'touching' || run.sinceUs === null) return false;
  const due = Math.floor((tUs - run.sinceUs) / beatUs);
  if (due > run.beats) {
    run.beats = due;
    if (due <= check.count) step.sound('beat');
  }
  if (tUs - run.sinceUs > (check.count + 3) * beatUs) finish(step, check, rule, null);
  return false;
}

/**
 * Puts the run on record with what it comes to; presses that never closed count as bad. `cutShort`:
 * why it ended early.
 */
function finish(step: JobStep, check: PressesCheck, rule: Rule, cutShort: string | null): void {
  const { run } = step;
  const { limits, count, maxBad, maxBounceMs } = check;
  const { calibration, identity } = step.state.probe!;
  const maxBounceUs = maxBounceMs === undefined ? null : maxBounceMs * 1000;
  const missed = cutShort === null ? Math.max(0, count - run.presses.length) : 0;
  const presses = [...run.presses, ...Array.from({ length: missed }, () => missedPress)];
  const raw = presses.map(({ closedReading, bounceUs, missed }) => ({ reading: closedReading, bounceUs, missed }));
  const judged = judge('presses', { presses: raw, limits, rule, count, maxBad, maxBounceUs, cutShort });
  const lost = whyRunIsLost(step, presses);
  run.stage = 'recording';
  step.append({
    kind: entryKindOf('presses'),
    check: check.id,
    attempt: step.nextAttempt(check.id),
    phase: step.phase,
    limits,
    rule,
    count,
    maxBad,
    maxBounceUs,
    presses: presses.map(({ window, heldUs, bounceUs, makes, missed, closedReading }, i) => ({
      window,
      heldUs,
      bounceUs,
      makes,
      missed,
      reading: storedReading(closedReading),
      outcome: judged.presses[i]!,
    })),
    probeSerial: identity.probeSerial,
    calibration: calibration.id,
    outcome: lost === null ? judged.outcome : 'unsteady',
    why: lost ?? withRemark(judged.why, calibration, null),
  });
}

/** A press that nobody saw may be one that did not arrive: then the run says nothing. */
function whyRunIsLost({ run: { lost } }: JobStep, presses: readonly { window: CaptureWindow | null }[]): string | null {
  const extent = extentOf(presses.flatMap(({ window }) => window ?? []));
  const isTooMuch = extent === null ? lost > 0 : isTooMuchLost(lost, extent.untilUs - extent.fromUs, extent.periodUs);
  return isTooMuch ? lostWords(lost) : null;
}
