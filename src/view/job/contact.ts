import type { TipContact } from '../../session/engine/recent-readings.ts';
import type { JobSessionState } from '../../session/job/job-session-state.ts';
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
  const step = contact === 'live' || state.paused ? null : stepText(state);
  if (step !== null)
    return { state: contact, text: step, settling: run?.stage !== 'asking', progress: run?.progress ?? 0 };
  // between two presses the path is open by intent: nothing settles then
  const settling = run?.stage === 'touching' && run.prompt?.act !== 'press';
  const text = settling && contact !== 'live' ? 'settling' : contactTexts[contact];
  return { state: contact, text, settling, progress: settling ? (run?.progress ?? 0) : 0 };
}

/**
 * Where a check of more than one step stands, short enough to stand beside the digits; null outside
 * of one.
 */
function stepText({ run }: JobSessionState): string | null {
  const kind = run?.kindProgress ?? null;
  if (run === null || kind === null) return null;
  switch (kind.kind) {
    case 'bridge':
      if (run.stage === 'closing') return 'bridge closed';
      return run.stage === 'asking' ? 'closed: proven' : null;
    case 'dry-normal':
      return run.stage === 'arming' || run.stage === 'touching' ? 'normal level' : null;
    case 'steady':
      return run.stage === 'holding' ? `hold ${((kind.hold?.heldUs ?? 0) / 1e6).toFixed(1)} s` : null;
  }
}
