import type { GapItem } from '../../link/probe/link-item.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { NewEntry, Phase } from '../../record/entries/entries.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import type { Sound } from '../engine/sounds.ts';
import { type GapRecord, releaseGaps } from './gap-record.ts';
import type { Effect, JobSessionState, ProbeMode, TaskRun, Tracking } from './job-session-state.ts';
import { checkInHand } from './job-session-state.ts';
import type { Task } from './task-list.ts';

/**
 * One step of the reducer while it is being made: a private copy of the state, and the effects it
 * asks for.
 */
export class JobStep {
  readonly state: JobSessionState;
  readonly effects: Effect[] = [];

  constructor(before: JobSessionState) {
    this.state = { ...before, run: before.run === null ? null : { ...before.run, presses: [...before.run.presses] } };
  }

  get task(): Task | null {
    return this.state.tasks[this.state.at] ?? null;
  }

  get run(): TaskRun {
    if (this.state.run === null) this.state.run = freshRun();
    return this.state.run;
  }

  /** Number of the attempt that a check would have now, from 1. */
  nextAttempt(check: string): number {
    return (this.state.job.checks[check]?.attempts.length ?? 0) + 1;
  }

  /** Whether an attempt now comes before or after a repair. */
  get phase(): Phase {
    return repairsNow(this.state.job).length === 0 ? 'before' : 'after';
  }

  /** Appends an entry, behind the gaps that came before it. */
  append(entry: NewEntry): void {
    this.releaseGaps();
    this.effects.push({ do: 'append', entry });
  }

  /** Takes what has become of the gaps, and appends the one that is due. */
  appendGap([gaps, due]: [GapRecord, GapItem | null]): void {
    this.state.gaps = gaps;
    if (due !== null) this.effects.push({ do: 'append', entry: due });
  }

  /** Appends the gaps that still wait. */
  releaseGaps(): void {
    this.appendGap(releaseGaps(this.state.gaps, this.state.tUs));
  }

  sound(sound: Sound): void {
    this.effects.push({ do: 'sound', sound });
  }

  /** Sets the probe, and watches its readings as the check in hand asks for. */
  setMode(set: ProbeMode, tracking: Tracking = 'touch'): void {
    const dwellMs = checkInHand(this.state)?.dwellMs;
    this.effects.push({ do: 'mode', set, tracking, dwellMs });
  }

  prompt(prompt: Omit<Prompt, 'id'>): void {
    this.state.prompts += 1;
    const whole = { ...prompt, id: `p${this.state.prompts}` };
    this.run.prompt = whole;
    this.effects.push({ do: 'prompt', prompt: whole });
  }

  /** Starts the task in hand over, with nothing remembered of this try. */
  restart(): void {
    this.state.run = freshRun();
  }
}

function freshRun(): TaskRun {
  return {
    stage: 'arming',
    prompt: null,
    outcome: null,
    lifted: true,
    again: false,
    asked: null,
    refusedUs: null,
    abandoned: false,
    leaving: false,
    repair: null,
    kindProgress: null,
    light: [],
    presses: [],
    sinceUs: null,
    beats: 0,
    lost: 0,
    progress: 0,
  };
}
