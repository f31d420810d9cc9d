import { judge } from '../../checks/registry.ts';
import type { DryNormalCheck, Guide } from '../../guide/types.ts';
import type { ContactHappening, Level, Outcome } from '../../measure/types.ts';
import { feelsTips } from '../../protocol/flags.ts';
import { entryKindOf } from '../../record/entries/stored-kinds.ts';
import type { Settled } from '../job/attempt-progress.ts';
import type { BenchEvent } from '../job/job-session-state.ts';
import type { Turn } from '../job/transition.ts';
import { type Arming, stepArming } from './arming.ts';
import { captureOf, settledOf, storedReading, type Taken } from './evidence-parts.ts';
import type { TaskHandler } from './handler.ts';
import { isOverdue, leaveWhenLifted } from './lifting.ts';
import { isTouching, stepRecorded, stepTips } from './tips.ts';
import { askForPower } from './touch.ts';

/** Tips that are still on the pads show within this time after the level was changed. */
const stillOnUs = 400_000;

interface DryNormalTask {
  guide: Guide;
  check: DryNormalCheck;
}

type Trouble = { outcome: Extract<Outcome, 'unsteady' | 'no-contact'>; why: string };

/** Returns the handler of a film check: one touch, read at the dry level first, as the normal level may break a film, then at the normal one. */
export function dryNormalTask(guide: Guide, check: DryNormalCheck): TaskHandler {
  const { pads, pressed, id } = check;
  const arming: Arming = {
    arm: (turn) => arm(turn, turn.run.kindRun === null ? 'dry' : 'normal'),
    prompt: () => ({
      act: 'touch',
      pads,
      held: pressed,
      check: id,
    }),
  };
  const task: DryNormalTask = { guide, check };
  return {
    start(turn) {
      turn.restart();
      askForPower(turn, check.power);
      arm(turn, 'dry');
    },
    on(turn, event) {
      // between the levels the tips stay where they are: nothing is asked for
      if (event.type === 'mode-set' && onNormalSet(turn)) return false;
      return stepArming(arming, turn, event) ?? step(task, turn, event);
    },
  };
}

function arm(turn: Turn, level: Level): void {
  turn.setMode({ mode: 'resistance', level, input: 'tips' });
}

function onNormalSet({ run, state }: Turn): boolean {
  if (run.kindRun?.kind !== 'dry-normal' || run.refusedUs !== null) return false;
  run.kindRun = { ...run.kindRun, setUs: state.tUs };
  if (run.stage === 'arming') run.stage = 'touching';
  return true;
}

function step(task: DryNormalTask, turn: Turn, event: BenchEvent): boolean {
  switch (event.type) {
    case 'clock':
      return onClock(task, turn, event.tUs);
    case 'button':
      // a probe that does not feel its tips: the person says that they stand on the pads
      if (event.standing !== null && isTouching(turn)) take(task, turn, { ...event.standing, by: 'button' });
      return false;
    case 'happening':
      return onHappening(task, turn, event.happening);
    case 'appended':
      return stepRecorded(turn, event.entry, 'dry-normal');
    default:
      return false;
  }
}

function isHeld({ run }: Turn): boolean {
  return run.stage === 'lifting' && !run.lifted && !run.abandoned && run.outcome !== null && run.kindRun !== null;
}

function onHappening(task: DryNormalTask, turn: Turn, happening: ContactHappening): boolean {
  const { run } = turn;
  const between = run.kindRun?.kind === 'dry-normal' ? run.kindRun : null;
  if (between !== null && happening.kind === 'make') run.kindRun = { ...between, made: true };
  const went = stepTips(
    turn,
    happening,
    (settled) => {
      // a drop-out while the outcome is held takes a pass away
      const trouble: Trouble | null = settled.kind === 'captured' ? null : { outcome: 'unsteady', why: settled.why };
      if (isTouching(turn) || (trouble !== null && isHeld(turn)))
        take(task, turn, { ...settled, by: 'settled' }, trouble);
    },
    () => {
      if (between !== null && run.stage === 'touching' && !run.abandoned) record(task, turn, null, liftedBetween);
    },
  );
  if (happening.kind === 'settling') run.progress = (happening.progress + (between === null ? 0 : 1)) / 2;
  return went;
}

const liftedBetween: Trouble = { outcome: 'unsteady', why: 'the tips lifted between the dry and the normal level' };

function onClock(task: DryNormalTask, turn: Turn, tUs: number): boolean {
  const { run } = turn;
  run.sinceUs ??= tUs;
  const between = run.kindRun?.kind === 'dry-normal' ? run.kindRun : null;
  if (run.stage === 'waiting' && isOverdue(turn, tUs)) {
    record(task, turn, null, { outcome: 'no-contact', why: 'no-contact' });
    return false;
  }
  if (between === null || between.made || between.setUs === null || tUs - between.setUs < stillOnUs) return false;
  // a path that is open, under tips that are not felt, shows nothing: the person says when
  if (!feelsTips(turn.state.probe!.identity) && between.dry.reading.state !== 'in-range') return false;
  // the lift came while the level was being changed, where nothing watched
  if (run.stage !== 'touching' && run.stage !== 'lifting') return false;
  run.lifted = true;
  if (run.stage === 'touching' && !run.abandoned) record(task, turn, null, liftedBetween);
  return leaveWhenLifted(turn);
}

/** Takes a settled window: of the dry level the first time, of the normal one the second. */
function take(task: DryNormalTask, turn: Turn, taken: Taken, trouble: Trouble | null = null): void {
  const { run } = turn;
  const settled = settledOf(turn, taken);
  if (run.kindRun === null) {
    run.kindRun = { kind: 'dry-normal', dry: settled, setUs: null, made: false };
    if (trouble !== null) {
      record(task, turn, null, trouble);
      return;
    }
    run.stage = 'arming';
    arm(turn, 'normal');
    return;
  }
  record(task, turn, settled, trouble);
}

function record(task: DryNormalTask, turn: Turn, normal: Settled | null, trouble: Trouble | null): void {
  const { check, guide } = task;
  const { run } = turn;
  const dry = run.kindRun?.kind === 'dry-normal' ? run.kindRun.dry : null;
  const { limits, factor, power, id } = check;
  const { calibration } = turn.state.probe!;
  const against = { calibration, limits, factor, rule: guide.rule };
  const judged = dry === null || normal === null ? null : judge('dry-normal', { dry, normal, ...against });
  run.stage = 'recording';
  turn.append({
    kind: entryKindOf['dry-normal'],
    check: id,
    attempt: turn.nextAttempt(id),
    phase: turn.phase,
    limits,
    rule: guide.rule,
    factor,
    power,
    by: dry?.by === 'button' || normal?.by === 'button' ? 'button' : 'settled',
    dry: stored(turn, dry),
    normal: stored(turn, normal),
    outcome: trouble?.outcome ?? judged?.outcome ?? 'unsteady',
    why: trouble?.why ?? judged?.why ?? 'unsteady',
  });
}

function stored(turn: Turn, settled: Settled | null) {
  if (settled === null) return null;
  return { capture: captureOf(turn, settled), reading: storedReading(settled.reading) };
}
