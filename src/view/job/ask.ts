import type { Check } from '../../guide/types.ts';
import { checkInHand, type JobSessionState } from '../../session/job/job-session-state.ts';
import { holdStill } from '../kinds/kind-words.ts';
import { kindWordsOf } from '../kinds/registry.ts';
import { plainLine } from '../text/plain-line.ts';
import { promptShort } from '../words/prompt.ts';
import { askTitles, proofHow, stageOrders } from '../words/stage.ts';

/** What is to be done now, in parts that can be seen from a metre. */
export interface Ask {
  /** What it is about: the check's or the proof's title. */
  title: string;
  /** What to do, in one short sentence. */
  action: string;
  pads: AskedPad[];
  /** What the tips do where no pad is touched; null elsewhere. */
  tips: 'together' | 'off' | null;
  /**
   * State that the device has to be in; `change`: it was in another one, or nobody knows. Null
   * where it does not matter.
   */
  power: { to: 'on' | 'off'; change: boolean } | null;
  /** State of disassembly, as the guide names it; `change`: the check before had another one. */
  access: { name: string; change: boolean } | null;
  /** The guide's own words on how to do it. */
  how: string;
  /** Which try this is, from 2 on; null for the first. */
  retry: { n: number; of: number } | null;
  /** Presses of a press check so far. */
  presses: { done: number; of: number } | null;
}

interface AskedPad {
  tip: 'A' | 'B';
  pad: string;
  where: string;
}

/** Returns what to do now; null before the probe is found and after the end. */
export function askOf(state: JobSessionState): Ask | null {
  const task = state.tasks[state.at];
  if (task === undefined || state.phase === 'closed' || state.phase === 'left') return null;
  switch (task.kind) {
    case 'caution': {
      const caution = state.guide.cautions.find((c) => c.id === task.id);
      return {
        ...nothing,
        title: askTitles.caution(plainLine(caution?.title ?? task.id)),
        action: actionOf(state, null),
      };
    }
    case 'proof':
      return {
        ...nothing,
        title: askTitles.proof(task.when, task.what),
        how: proofHow[task.what],
        tips: tipsOf(state),
        retry: retryOf(state),
        action: actionOf(state, null),
      };
    case 'conclusion':
      return { ...nothing, title: askTitles.conclusion, action: actionOf(state, null) };
    case 'check': {
      const check = checkInHand(state);
      return check === null ? null : checkAsk(state, check);
    }
  }
}

const nothing: Ask = {
  title: '',
  action: '',
  pads: [],
  tips: null,
  power: null,
  access: null,
  how: '',
  retry: null,
  presses: null,
};

function checkAsk(state: JobSessionState, check: Check): Ask {
  const access = state.guide.access.find((a) => a.id === check.access);
  const [a, b] = check.pads ?? [];
  const pads: AskedPad[] = [];
  if (a !== undefined) pads.push({ tip: 'A', pad: a, where: whereOf(state, a) });
  if (b !== undefined) pads.push({ tip: 'B', pad: b, where: whereOf(state, b) });
  return {
    title: plainLine(check.title),
    action: actionOf(state, check),
    pads,
    tips: null,
    power: { to: check.power, change: isChange(state, check) },
    access: access === undefined ? null : { name: plainLine(access.name), change: isOtherAccess(state, check) },
    how: plainLine(check.prompt),
    retry: retryOf(state),
    presses: check.kind === 'presses' ? { done: state.run?.presses.length ?? 0, of: check.count } : null,
  };
}

function whereOf(state: JobSessionState, pad: string): string {
  return plainLine(state.guide.pads.find((p) => p.id === pad)?.where ?? '');
}

function retryOf(state: JobSessionState): Ask['retry'] {
  return state.tries > 1 ? { n: state.tries, of: state.settings.attemptsMax } : null;
}

/** Until the tips have been on the pads once: then the device stands as it was asked for. */
function isStillAsked({ run, tries }: JobSessionState): boolean {
  return tries <= 1 && (run === null || run.stage === 'arming' || run.stage === 'waiting' || run.stage === 'asking');
}

function isChange(state: JobSessionState, check: Check): boolean {
  return isStillAsked(state) && checkBefore(state)?.power !== check.power;
}

function isOtherAccess(state: JobSessionState, check: Check): boolean {
  return isStillAsked(state) && checkBefore(state)?.access !== check.access;
}

function checkBefore(state: JobSessionState): Check | undefined {
  const before = state.tasks[state.at - 1];
  return before?.kind === 'check' ? state.guide.checks.find((c) => c.id === before.id) : undefined;
}

/** What a proof asks of the tips while it waits for them. */
function tipsOf({ run, connected, paused }: JobSessionState): Ask['tips'] {
  if (!connected || paused || run?.stage !== 'waiting') return null;
  return run.prompt?.act === 'wait' ? 'off' : 'together';
}

/**
 * The sentence follows the stage: nothing is asked while the probe is being set or the evidence
 * stored.
 */
function actionOf(state: JobSessionState, check: Check | null): string {
  const run = state.run;
  if (!state.connected || state.paused) return '';
  const own = run === null || check === null ? null : kindWordsOf(check).action(run, check, asked(state));
  if (own !== null) return own;
  switch (run?.stage) {
    case undefined:
    case 'done':
      return '';
    case 'arming':
      if (run.kindProgress !== null) return stageOrders.levelChanges;
      return stageOrders.arming;
    case 'recording':
      return stageOrders.recording;
    case 'lifting':
      return run.lifted ? '' : asked(state);
    case 'live':
    case 'asking':
      return asked(state);
    case 'touching':
      return holdStill(check);
    case 'waiting':
    case 'closing':
    case 'holding':
      return asked(state);
  }
}

/** What was asked, in its short form. */
function asked({ run, guide }: JobSessionState): string {
  return run?.prompt == null ? '' : promptShort(run.prompt, guide);
}
