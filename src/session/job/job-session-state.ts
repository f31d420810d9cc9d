import type { Check, Guide } from '../../guide/types.ts';
import type { GapItem } from '../../link/probe/link-item.ts';
import type {
  Calibration,
  CaptureWindow,
  ContactEvent,
  ContactSummary,
  Outcome,
  PressSummary,
} from '../../measure/types.ts';
import type { Answer, Prompt } from '../../ports/prompt.ts';
import type { ProbeIdentity } from '../../protocol/messages.ts';
import type { CalibrationOrigin } from '../../record/entries/calibration-origin.ts';
import type { Entry, NewEntry } from '../../record/entries/entries.ts';
import type { JobState } from '../../record/state/job-state.ts';
import type { CommonEffect } from '../engine/session-parts.ts';
import type { KindEvent, KindProgress, LightChange } from './attempt-progress.ts';
import type { GapRecord } from './gap-record.ts';
import type { Insight, Isolator } from './isolator.ts';
import type { Order, PlanSettings, Task } from './task-list.ts';

/** What the probe has to be set to for a task. */
export interface ProbeMode {
  mode: 'off' | 'resistance' | 'voltage';
  level: 'normal' | 'dry';
  input: 'tips' | 'check';
}

/**
 * How readings are watched: one touch, closures of a key while the tips stay on, a touch with the
 * probe's bridge closed, a touch that is held.
 */
export type Tracking = 'touch' | 'presses' | 'closure' | 'hold';

/**
 * Who said or did something: a person at the keyboard, the probe's button, the simulator's hands,
 * an option of the command.
 */
export type By = 'person' | 'button' | 'hands' | 'option';

export type JobSessionEvent =
  | {
      type: 'connected';
      identity: ProbeIdentity;
      path: string;
      calibration: Calibration;
      /** In words: where the calibration comes from, how old it is, what is wrong with it. */
      calibrationState: string;
      origin: CalibrationOrigin | null;
      /** In words: that the probe's proofs drift, and since when; null when nothing says so. */
      drift: string | null;
    }
  | { type: 'disconnected'; why: string }
  | { type: 'gap'; gap: GapItem }
  | { type: 'mode-set' }
  /** The probe found a voltage on the tips and refuses the excitation. */
  | { type: 'mode-refused' }
  | { type: 'contact'; contact: ContactEvent }
  /** The tips stand on something from before the task: what they read there is none of it. */
  | { type: 'standing' }
  | { type: 'press'; press: PressSummary }
  | KindEvent
  | { type: 'clock'; tUs: number }
  | { type: 'button'; long: boolean; standing: { window: CaptureWindow; contact: ContactSummary } | null }
  | { type: 'answer'; prompt: string; answer: Answer; by: By }
  | { type: 'repeat'; by: By }
  | { type: 'skip'; reason: string; by: By }
  | { type: 'note'; text: string }
  | { type: 'pause'; on: boolean }
  | { type: 'jump'; check: string }
  /** What is to be done about the conclusion: a repair of the guide, by id, or none. */
  | { type: 'choose'; repair: string | null; by: By }
  /** No more checks: the conclusion is drawn from what is known. */
  | { type: 'conclude' }
  /** A unit was swapped for a known-good one. */
  | { type: 'swapped'; unit: string; by: By }
  | { type: 'appended'; entry: Entry }
  /** The prompt has been given to the faces, behind the entries that came before it. */
  | { type: 'asked'; prompt: Prompt }
  /** The job is given up for good: it is closed on record, with the reason. */
  | { type: 'abandon'; reason: string }
  /** The session ends; the job stays open. */
  | { type: 'quit' };

/** How a session ends. */
export type Ending =
  /** The job stays open, and can be resumed. */
  { kind: 'left' } | ClosingEnding;

/**
 * How the readings of a mode are watched. `dwellMs`: how long a touch must be steady before it is
 * captured; absent: the usual time.
 */
export interface Watching {
  tracking: Tracking;
  dwellMs?: number;
}

/**
 * `closed`: the result is what the entries bear out. `abandoned`: the result is `abandoned`. `why`:
 * in words.
 */
export type ClosingEnding = { kind: 'closed' | 'abandoned'; why: string };

export type Effect =
  | CommonEffect
  | ({ do: 'mode'; set: ProbeMode } & Watching)
  /** Closes the bridge between the tips. */
  | { do: 'bridge'; durationMs: number }
  | { do: 'append'; entry: NewEntry }
  /** Closes the job on record. */
  | { do: 'close'; ending: ClosingEnding };

/**
 * Where a task stands. `arming`: the probe is being set; `live`: waits until the voltage on the
 * tips is gone; `closing`: the bridge is closed; `holding`: a settled touch is held on.
 */
type Stage =
  | 'arming'
  | 'waiting'
  | 'touching'
  | 'recording'
  | 'lifting'
  | 'asking'
  | 'closing'
  | 'holding'
  | 'live'
  | 'done';

/** The task in hand. */
export interface TaskRun {
  stage: Stage;
  prompt: Prompt | null;
  outcome: Outcome | null;
  lifted: boolean;
  again: boolean;
  /**
   * What was asked before the tips, which stood on something, had to be taken off it; else null.
   */
  asked: Prompt | null;
  /**
   * Probe time at which the probe last refused the mode because of a voltage on the tips, in
   * microseconds; else null.
   */
  refusedUs: number | null;
  /** The person gave this try up (skip, jump): what the tips still do is no evidence of it. */
  abandoned: boolean;
  /** It is left as soon as what ends it (a skip, a swap) is on record. */
  leaving: boolean;
  /** The repair that was chosen, by id. */
  repair: string | null;
  /** What a check of more than one step has come to so far. */
  kindProgress: KindProgress | null;
  /** The latest changes of light at the probe's sensor. */
  light: LightChange[];
  /** Presses seen so far (press checks). */
  presses: PressSummary[];
  /**
   * Probe time at which the wait or the press run began, in microseconds; null before the first
   * reading.
   */
  sinceUs: number | null;
  beats: number;
  /** Readings lost since the tips touched; infinite: how many is not known. */
  lost: number;
  /** 0..1 while a touch settles. */
  progress: number;
}

/** Everything that a session knows; the job itself is the fold of its record. */
export interface JobSessionState {
  guide: Guide;
  settings: JobSettings;
  planSettings: PlanSettings;
  /** Tells suspects apart; null: checks are only done, nothing is concluded from them. */
  isolator: Isolator | null;
  /** What is believed of the device now; null without an isolator. */
  insight: Insight | null;
  tasks: Task[];
  at: number;
  /** A person wants no more checks before the conclusion. */
  enough: boolean;
  /** Why the check in hand was proposed; null when it was not. */
  because: string | null;
  /** Tries of the task in hand so far. */
  tries: number;
  run: TaskRun | null;
  phase: 'opening' | 'running' | 'closed' | 'left';
  connected: boolean;
  linkText: string;
  live: boolean;
  /** Nothing is taken until the person goes on; the tips are still watched. */
  paused: boolean;
  power: 'on' | 'off' | null;
  /** State of disassembly that the device is in; null: closed, undefined: not known. */
  access: string | null | undefined;
  tUs: number;
  /** Gaps on their way to the record. */
  gaps: GapRecord;
  probe: { identity: ProbeIdentity; calibration: Calibration; drift: string | null } | null;
  job: JobState;
  /** Entries that this session appended last, the oldest first; at most {@link latestKept}. */
  latest: readonly Entry[];
  /** What was asked of the hands last; null before the first prompt. */
  asked: Prompt | null;
  prompts: number;
  ending: Ending | null;
}

/** So many of the entries appended last are kept for the faces. */
export const latestKept = 8;

/** Returns the check in hand; null during cautions and proofs, and after the end. */
export function checkInHand({ guide, tasks, at }: JobSessionState): Check | null {
  const task = tasks[at];
  return task?.kind === 'check' ? (guide.checks.find((check) => check.id === task.id) ?? null) : null;
}

export interface JobSettings {
  /**
   * Attempts of one check before the session goes on without a pass or a fail; default 3, least 1.
   */
  attemptsMax: number;
  /**
   * Waiting this long in probe time for a touch gives 'no contact'; null waits for ever (a person
   * may be reading).
   */
  noContactAfterUs: number | null;
  /** Time from one key press of a press check to the next, in microseconds of probe time. */
  beatUs: number;
  /** Cautions acknowledged beforehand, by id or 'all'. */
  acceptedCautions: string[];
  /** Order of the checks; `information` needs an isolator. */
  order: Order;
  /**
   * Who chooses what is done about a conclusion: a person, or beforehand the first step of the
   * plan, or no repair at all.
   */
  repair: 'ask' | 'first' | 'none';
}

/** Attempts and beat as they are at every bench. */
export const usualPace = { attemptsMax: 3, beatUs: 900_000 } as const satisfies Partial<JobSettings>;
