import type { Check } from '../../guide/types.ts';
import { dropOutsOf } from '../../measure/contact/steady-hold.ts';
import { checkInHand, type JobSessionState } from '../../session/job/job-session-state.ts';
import { plainLine } from '../text/plain-line.ts';
import { promptShort } from '../words/prompt.ts';

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
      return { ...nothing, title: `Caution: ${plainLine(caution?.title ?? task.id)}`, action: actionOf(state, null) };
    }
    case 'proof':
      return {
        ...nothing,
        ...proofAsk(task),
        tips: tipsOf(state),
        retry: retryOf(state),
        action: actionOf(state, null),
      };
    case 'conclusion':
      return { ...nothing, title: 'What the checks come to', action: actionOf(state, null) };
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

function proofAsk({ when, what }: { when: 'opening' | 'closing'; what: string }): Pick<Ask, 'title' | 'how'> {
  const hand = what === 'shorted-tips';
  return {
    title: `Probe proof, ${when}: ${hand ? 'tips together' : 'check resistor'}`,
    how: hand
      ? 'A probe that reads near nothing across its own tips is one to rely on.'
      : 'The probe measures a resistor of its own; keep the tips off everything.',
  };
}

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

function isChange(state: JobSessionState, check: Check): boolean {
  return checkBefore(state)?.power !== check.power;
}

function isOtherAccess(state: JobSessionState, check: Check): boolean {
  return checkBefore(state)?.access !== check.access;
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
  switch (run?.stage) {
    case undefined:
    case 'done':
      return '';
    case 'arming':
      if (run.kindProgress !== null) return 'Stay on the pads: the level changes.';
      return 'One moment: the probe is being set.';
    case 'recording':
      return 'Hold still: it is being stored.';
    case 'lifting':
      return run.lifted ? '' : asked(state);
    case 'live':
    case 'asking':
      return asked(state);
    case 'closing':
      return `Hold still: bridged, ${idleText(state)}. Watch it.`;
    case 'holding':
      return `${asked(state)} ${openingsText(state)}`;
    case 'touching':
      return touchingAction(state, check);
    case 'waiting':
      return asked(state);
  }
}

/** What was asked, in its short form. */
function asked({ run, guide }: JobSessionState): string {
  return run?.prompt == null ? '' : promptShort(run.prompt, guide);
}

function touchingAction(state: JobSessionState, check: Check | null): string {
  switch (check?.kind) {
    case 'presses':
      return asked(state);
    case 'dry-normal':
      return `Hold still: ${state.run?.kindProgress === null ? 'dry' : 'normal'} level.`;
    case undefined:
    case 'resistance':
    case 'voltage':
    case 'bridge':
    case 'steady':
    case 'look':
      return check?.dwellMs === undefined ? 'Hold still.' : `Hold still for ${check.dwellMs / 1000} s.`;
  }
}

function idleText({ run }: JobSessionState): string {
  return run?.kindProgress?.kind === 'bridge' ? `idle ${run.kindProgress.idle.reading.value.toFixed(2)} V` : '';
}

/**
 * What a hold has seen so far: openings count for something at once, the rest is judged at its end.
 */
function openingsText({ run }: JobSessionState): string {
  const hold = run?.kindProgress?.kind === 'steady' ? run.kindProgress.hold : null;
  const { count, subReading } = hold === null ? { count: 0, subReading: 0 } : dropOutsOf(hold);
  return count + subReading === 0 ? 'No drop-out.' : `Drop-outs: ${count + subReading}.`;
}
