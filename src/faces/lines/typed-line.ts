import type { Answer } from '../../ports/prompt.ts';
import type { JobSessionEvent } from '../../session/job/job-session-state.ts';
import type { JobView } from '../../view/job/job-view.ts';

export const typedHelp =
  'Type one of: yes, no, unsure (to answer), repeat, back (the check done last once more), skip REASON, note TEXT, check ID, conclude, repair NUMBER or none, swapped UNIT, quit (the job stays open), abandon REASON (it is closed) - and Enter. Everything else the tips do.';

/**
 * Returns what a typed line means to the session, or null when it means nothing. First letters are
 * enough for answers.
 */
export function parseTyped(line: string, view: JobView): JobSessionEvent | null {
  const [verb = '', ...rest] = line.trim().split(/\s+/);
  const text = rest.join(' ');
  switch (verb.toLowerCase()) {
    case 'y':
    case 'yes':
      return answered(view, 'yes');
    case 'n':
    case 'no':
      return answered(view, 'no');
    case 'u':
    case 'unsure':
      return answered(view, 'unsure');
    case 'repeat':
      return { type: 'repeat', by: 'person' };
    case 'back':
      return view.last?.check == null ? null : { type: 'jump', check: view.last.check };
    case 'skip':
      return text === '' ? null : { type: 'skip', reason: text, by: 'person' };
    case 'note':
      return text === '' ? null : { type: 'note', text };
    case 'check':
      return hasId(view.checks, text) ? { type: 'jump', check: text } : null;
    case 'conclude':
      return view.concludes ? { type: 'conclude' } : null;
    case 'repair':
      return repairOf(view, text);
    case 'none':
      return view.question?.kind === 'choose' ? { type: 'choose', repair: null, by: 'person' } : null;
    case 'swapped':
      return hasId(view.units, text) ? { type: 'swapped', unit: text, by: 'person' } : null;
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
function repairOf({ question }: JobView, text: string): JobSessionEvent | null {
  if (question?.kind !== 'choose') return null;
  if (text === 'none' || text === '0') return { type: 'choose', repair: null, by: 'person' };
  const repair = /^\d+$/.test(text) ? question.options[Number(text) - 1] : text;
  if (repair === undefined || !question.all.includes(repair)) return null;
  return { type: 'choose', repair, by: 'person' };
}

function answered({ question }: JobView, answer: Answer): JobSessionEvent | null {
  return question === null || question.kind === 'choose'
    ? null
    : { type: 'answer', prompt: question.prompt, answer, by: 'person' };
}
