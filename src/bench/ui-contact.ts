import { formatReading } from '../measure/format.ts';
import type { TipContact } from './live.ts';
import type { BenchState } from './state.ts';
import { contactTexts } from './ui-words.ts';

/** What lies between the tips and how far the check in hand has come, in a few words. */
export interface ContactView {
  state: TipContact;
  text: string;
  settling: boolean;
  progress: number;
}

/** Returns the contact as the screen shows it: a touch that settles, a bridge that is closed, a hold that runs, or what the tips are on. */
export function contactOf(state: BenchState, contact: TipContact): ContactView {
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

/** Where a check of more than one step stands; null outside of one. */
function stepText({ run }: BenchState): string | null {
  const kind = run?.kindRun ?? null;
  if (run === null || kind === null) return null;
  switch (kind.kind) {
    case 'bridge':
      if (run.stage === 'closing') return `bridge closed, idle ${shortVolt(kind.idle.reading)}`;
      if (run.stage !== 'asking' || kind.proof?.reading == null) return null;
      return `closed: proven, ${shortVolt(kind.idle.reading)} to ${shortVolt(kind.proof.reading)}`;
    case 'levels':
      if (run.stage !== 'arming' && run.stage !== 'touching') return null;
      return `dry ${formatReading(kind.dry.reading)}; normal level settling`;
    case 'steady': {
      if (run.stage !== 'holding') return null;
      const { hold } = kind;
      const opened = (hold?.dropOuts.length ?? 0) + (hold?.brief.length ?? 0);
      const seconds = ((hold?.heldUs ?? 0) / 1e6).toFixed(1);
      return `hold ${seconds} s, ${opened === 0 ? 'no drop-out' : `drop-outs ${opened}`}`;
    }
  }
}

function shortVolt(reading: { value: number; state: string }): string {
  return reading.state === 'in-range' ? `${reading.value.toFixed(2)} V` : 'out of range';
}
