import type { JobSessionEvent, JobSessionState } from '../../session/job/job-session-state.ts';

export const typedHelp =
  'Type one of: yes, no, unsure (to answer), repeat, skip REASON, note TEXT, check ID, conclude, repair NUMBER or none, swapped UNIT, quit (the job stays open), abandon REASON (it is closed) - and Enter. Everything else the tips do.';

/**
 * Returns what a typed line means to the session, or null when it means nothing. First letters are
 * enough for answers.
 */
export function parseTyped(line: string, state: JobSessionState): JobSessionEvent | null {
  const [verb = '', ...rest] = line.trim().split(/\s+/);
  const text = rest.join(' ');
  switch (verb.toLowerCase()) {
    case 'y':
    case 'yes':
      return answered(state, 'yes');
    case 'n':
    case 'no':
      return answered(state, 'no');
    case 'u':
    case 'unsure':
      return answered(state, 'unsure');
    case 'repeat':
      return { type: 'repeat', by: 'person' };
    case 'skip':
      return text === '' ? null : { type: 'skip', reason: text, by: 'person' };
    case 'note':
      return text === '' ? null : { type: 'note', text };
    case 'check':
      return hasId(state.guide.checks, text) ? { type: 'jump', check: text } : null;
    case 'conclude':
      return state.planSettings.concludes ? { type: 'conclude' } : null;
    case 'repair':
      return repairOf(state, text);
    case 'none':
      return state.run?.prompt?.act === 'choose' ? { type: 'choose', repair: null, by: 'person' } : null;
    case 'swapped':
      return hasId(state.guide.units, text) ? { type: 'swapped', unit: text, by: 'person' } : null;
    case 'abandon':
      return text === '' ? null : { type: 'abandon', reason: text };
    case 'quit':
      return { type: 'quit' };
    default:
      return null;
  }
}

function hasId(all: readonly { id: string }[], id: string): boolean {
  return all.some((one) => one.id === id);
}

/** A repair by its number in the list that was told, by its id, or `none`. */
function repairOf({ run, guide }: JobSessionState, text: string): JobSessionEvent | null {
  if (run?.prompt?.act !== 'choose') return null;
  if (text === 'none' || text === '0') return { type: 'choose', repair: null, by: 'person' };
  const repair = /^\d+$/.test(text) ? run.prompt.options?.[Number(text) - 1] : text;
  if (repair === undefined || !hasId(guide.repairs, repair)) return null;
  return { type: 'choose', repair, by: 'person' };
}

function answered(state: JobSessionState, answer: 'yes' | 'no' | 'unsure'): JobSessionEvent | null {
  const prompt = state.run?.prompt;
  return prompt?.act === 'answer' || prompt?.act === 'repair'
    ? { type: 'answer', prompt: prompt.id, answer, by: 'person' }
    : null;
}
