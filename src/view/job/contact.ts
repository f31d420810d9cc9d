import type { TipContact } from '../../session/engine/recent-readings.ts';
import { checkInHand, type JobSessionState } from '../../session/job/job-session-state.ts';
import { kindWordsOf } from '../kinds/registry.ts';
import { contactTexts } from '../words/contact.ts';

/** What lies between the tips and how far the check in hand has come, in a few words. */
export interface ContactView {
  state: TipContact;
  text: string;
  settling: boolean;
  progress: number;
}

/**
 * Returns the contact as the screen shows it: a touch that settles, a bridge that is closed, a hold
 * that runs, or what the tips are on.
 */
export function contactOf(state: JobSessionState, contact: TipContact): ContactView {
  const { run } = state;
  if (run?.stage === 'lifting' && !run.lifted)
    return { state: contact, text: 'captured', settling: false, progress: 1 };
  const step = contact === 'live' || state.paused ? null : stepOf(state);
  if (step !== null)
    return { state: contact, text: step, settling: run?.stage !== 'asking', progress: run?.progress ?? 0 };
  // between two presses the path is open by intent: nothing settles then
  const settling = run?.stage === 'touching' && run.prompt?.act !== 'press';
  const text = settling && contact !== 'live' ? 'settling' : contactTexts[contact];
  return { state: contact, text, settling, progress: settling ? (run?.progress ?? 0) : 0 };
}

/** How far a check of more than one step is; null outside of one. */
function stepOf(state: JobSessionState): string | null {
  const check = checkInHand(state);
  return state.run === null || check === null ? null : kindWordsOf(check).step(state.run);
}
