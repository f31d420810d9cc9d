import type { JobSessionState } from '../../session/job/job-session-state.ts';
import { plainLine } from '../text/plain-line.ts';
import { linkWords } from '../words/link.ts';
import type { Mark } from '../words/mark.ts';
import { outcomeWords, type Tone, whyText } from '../words/outcome.ts';
import { orders } from '../words/prompt.ts';
import { resultWords } from '../words/result.ts';
import { headlineWords } from '../words/stage.ts';
import type { LastResult } from './check-rows.ts';

/** One word that must be seen from a metre, with its mark and a sentence. */
export interface Headline {
  word: string;
  mark: Mark | null;
  tone: Tone;
  /** Why, or what to do. */
  text: string;
}

/**
 * Returns what outshines everything else now: the end, a lost link, a voltage on the tips, a pause,
 * or the outcome that is held until the tips lift; null when the pads are what counts.
 */
export function headlineOf(state: JobSessionState, result: LastResult | null): Headline | null {
  const { run } = state;
  if (state.phase === 'closed' || state.phase === 'left') {
    const word = state.phase === 'left' ? headlineWords.left : resultWords[state.job.result].word.toUpperCase();
    return { word, mark: null, tone: 'strong', text: endingText(state.ending) };
  }
  if (state.phase === 'opening')
    return { word: headlineWords.opening, mark: null, tone: 'strong', text: plainLine(state.linkText) };
  if (!state.connected) {
    return { word: headlineWords.noProbe, mark: null, tone: 'danger', text: linkWords(state).sentence };
  }
  if (state.live || run?.stage === 'live') {
    return { word: headlineWords.live, mark: 'live', tone: 'danger', text: orders.live };
  }
  if (state.paused) return { word: headlineWords.paused, mark: null, tone: 'strong', text: headlineWords.pausedText };
  if (result === null || run?.outcome == null) return null;
  const { word, mark, tone } = outcomeWords[run.outcome];
  return { word: word.toUpperCase(), mark, tone, text: whyText(result.why) };
}

function endingText(ending: JobSessionState['ending']): string {
  if (ending === null) return '';
  return ending.kind === 'left' ? headlineWords.leftText : plainLine(ending.why);
}
