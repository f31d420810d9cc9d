import type { Check, Guide } from '../../guide/types.ts';
import { decide } from '../../measure/judge/decide.ts';
import { withRemark } from '../../measure/reading/calibration-remark.ts';
import type { Outcome, PressSummary, Rule } from '../../measure/types.ts';
import type { Prompt } from '../../ports/prompt.ts';
import { successRunShare } from '../../statistics/success-run.ts';
import type { BenchEvent } from '../job/job-session-state.ts';
import type { Turn } from '../job/transition.ts';
import { type Arming, stepArming } from './arming.ts';
import { isWorthAnotherTry, type TaskHandler } from './handler.ts';
import { holdOutcome, isOverdue, leaveWhenLifted } from './lifting.ts';
import { meetLive } from './live.ts';
import { storedReading, touchText } from './measured.ts';
import { askAfterStanding } from './standing.ts';
import { askForPower } from './touch.ts';

type PressCheck = Extract<Check, { kind: 'presses' }>;

/** Returns the handler of a press check: tips stay on the pads, the key is pressed to a beat, each closure is judged. */
export function pressTask(guide: Guide, check: PressCheck): TaskHandler {
  const arming: Arming = { arm: (turn) => arm(turn, check), prompt: () => pressPrompt(guide, check) };
  return {
    start(turn) {
      turn.restart();
      askForPower(turn, check.power);
      arming.arm(turn);
    },
    on(turn, event) {
      const armed = stepArming(arming, turn, event);
      if (armed !== null) return armed;
      const run = turn.run;
      switch (event.type) {
        case 'clock':
          return onClock(turn, check, guide.rule, event.tUs);
        case 'press':
          if (run.stage !== 'waiting' && run.stage !== 'touching') return false;
          run.presses.push(event.press);
          if (run.presses.length >= check.count) finish(turn, check, guide.rule, null);
          return false;
        case 'happening':
          return onHappening(turn, check, guide, event.happening);
        case 'appended':
          return onAppended(turn, event);
        default:
          return false;
      }
    },
  };
}

function pressPrompt(guide: Guide, check: PressCheck): Omit<Prompt, 'id'> {
  const { pads, key, count, id } = check;
  return { act: 'press', pads, key, count, check: id, text: touchText(guide, check) };
}

function arm(turn: Turn, check: PressCheck): void {
  turn.setMode({ mode: 'resistance', level: check.level, input: 'tips' }, 'presses');
}

function onHappening(
  turn: Turn,
  check: PressCheck,
  guide: Guide,
  happening: Extract<BenchEvent, { type: 'happening' }>['happening'],
): boolean {
  const run = turn.run;
  if (happening.kind === 'make') {
    run.lifted = false;
    if (run.stage === 'waiting') {
      run.stage = 'touching';
      run.sinceUs = happening.tUs;
    }
  }
  if (happening.kind === 'live' && happening.on) meetLive(turn, 'during');
  if (happening.kind === 'lift') {
    run.lifted = true;
    // before the first closure it was only the landing: the tips are still being put on
    if (run.stage === 'touching' && run.presses.length === 0) run.stage = 'waiting';
    if (run.stage === 'touching' && run.abandoned) run.stage = 'waiting';
    if (run.stage === 'touching') finish(turn, check, guide.rule, 'the tips lifted before the last press');
    askAfterStanding(turn);
  }
  return leaveWhenLifted(turn);
}

/** Beats the time while tips are on; closes the run when the last press is well overdue. */
function onClock(turn: Turn, check: PressCheck, rule: Rule, tUs: number): boolean {
  const run = turn.run;
  const { beatUs } = turn.state.settings;
  if (run.stage === 'waiting') {
    run.sinceUs ??= tUs;
    if (isOverdue(turn, tUs)) finish(turn, check, rule, 'no contact');
    return false;
  }
  if (run.stage !== 'touching' || run.sinceUs === null) return false;
  const due = Math.floor((tUs - run.sinceUs) / beatUs);
  if (due > run.beats) {
    run.beats = due;
    if (due <= check.count) turn.sound('beat');
  }
  if (tUs - run.sinceUs > (check.count + 3) * beatUs) finish(turn, check, rule, null);
  return false;
}

function onAppended(turn: Turn, event: Extract<BenchEvent, { type: 'appended' }>): boolean {
  if (turn.run.stage !== 'recording' || event.entry.kind !== 'presses') return false;
  const { outcome } = event.entry;
  return holdOutcome(turn, outcome, isWorthAnotherTry(turn, outcome));
}

/** Judges what was pressed: each press by its closed ohms and bounce; presses that never closed count as bad. */
function finish(turn: Turn, check: PressCheck, rule: Rule, trouble: string | null): void {
  const run = turn.run;
  const seen = run.presses.map((press) => judgePress(press, check, rule));
  const missed = trouble === null ? Math.max(0, check.count - seen.length) : 0;
  const bad = seen.filter((p) => p.outcome === 'fail').length + missed;
  const unsure = seen.filter((p) => p.outcome !== 'fail' && p.outcome !== 'pass').length;
  const outcome = runOutcome(check.maxBad, bad, unsure, trouble, seen.length);
  run.stage = 'recording';
  turn.append({
    kind: 'presses',
    check: check.id,
    attempt: turn.nextAttempt(check.id),
    phase: turn.phase,
    limits: check.limits,
    rule,
    count: check.count,
    maxBad: check.maxBad,
    maxBounceUs: check.maxBounceMs === undefined ? null : check.maxBounceMs * 1000,
    presses: [...seen, ...Array.from({ length: missed }, () => missedPress)],
    probeSerial: turn.state.probe!.identity.probeSerial,
    calibration: turn.state.probe!.calibration.id,
    outcome,
    why: withRemark(
      trouble ?? `${bad} bad of ${check.count}${claimOf(check, outcome, bad)}`,
      turn.state.probe!.calibration,
      null,
    ),
  });
}

/** Confidence of what a run of good presses is said to show. */
const confidence = 0.95;

/** What a run without a bad press shows of all the presses to come (success run); nothing for another outcome. */
function claimOf({ count }: PressCheck, outcome: Outcome, bad: number): string {
  if (outcome !== 'pass' || bad > 0) return '';
  const percent = Math.floor(1000 * successRunShare(count, confidence)) / 10;
  return `, which shows at least ${percent} % good presses (95 % confidence)`;
}

function runOutcome(maxBad: number, bad: number, unsure: number, trouble: string | null, seen: number): Outcome {
  if (bad > maxBad) return 'fail';
  if (trouble !== null) return seen === 0 ? 'no-contact' : 'unsteady';
  return bad + unsure > maxBad ? 'borderline' : 'pass';
}

const missedPress = {
  window: null,
  heldUs: 0,
  bounceUs: 0,
  makes: 0,
  missed: true,
  reading: null,
  outcome: 'fail' as Outcome,
};

function judgePress(press: PressSummary, check: PressCheck, rule: Rule) {
  const reading = press.closedReading;
  const tooBouncy = check.maxBounceMs !== undefined && press.bounceUs > check.maxBounceMs * 1000;
  const outcome: Outcome = tooBouncy
    ? 'fail'
    : reading === null
      ? 'unsteady'
      : decide(reading, check.limits, rule).outcome;
  return {
    window: press.window,
    heldUs: press.heldUs,
    bounceUs: press.bounceUs,
    makes: press.makes,
    missed: press.missed,
    reading: storedReading(reading),
    outcome,
  };
}
