import type { BenchEvent, BenchState } from '../bench/state.ts';

export const typedHelp =
  'Type one of: yes, no, unsure (to answer), repeat, skip REASON, note TEXT, quit - and Enter. Everything else the tips do.';

/** Returns what a typed line means to the session, or null when it means nothing. First letters are enough for answers. */
export function parseTyped(line: string, state: BenchState): BenchEvent | null {
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
    case 'quit':
      return { type: 'quit' };
    default:
      return null;
  }
}

function answered(state: BenchState, answer: 'yes' | 'no' | 'unsure'): BenchEvent | null {
  const prompt = state.run?.prompt;
  return prompt?.act === 'answer' ? { type: 'answer', prompt: prompt.id, answer, by: 'person' } : null;
}
