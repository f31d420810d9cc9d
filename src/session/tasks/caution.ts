import type { Guide } from '../../guide/types.ts';
import { answerTo } from './answer.ts';
import type { TaskHandler } from './handler.ts';

/** Returns the handler of a caution: it is read and acknowledged by name before anything is measured. */
export function cautionTask(guide: Guide, id: string): TaskHandler {
  const caution = guide.cautions.find((c) => c.id === id)!;
  return {
    start(turn) {
      turn.restart();
      const accepted = turn.state.settings.acceptedCautions;
      if (accepted.includes('all') || accepted.includes(id)) {
        turn.run.stage = 'recording';
        turn.append({ kind: 'caution', id, text: caution.text, by: 'option' });
        return;
      }
      turn.run.stage = 'asking';
      turn.prompt({
        act: 'answer',
        caution: id,
        question: `understood: ${id}?`,
      });
    },
    on(turn, event) {
      const answered = answerTo(turn, event);
      if (answered !== null) {
        if (answered.answer === 'yes') {
          turn.run.stage = 'recording';
          turn.append({ kind: 'caution', id, text: caution.text, by: answered.by });
        } else {
          turn.state.ending = { kind: 'closed', why: `caution ${id} was not acknowledged` };
        }
        return false;
      }
      if (event.type !== 'appended' || event.entry.kind !== 'caution' || event.entry.id !== id) return false;
      turn.run.stage = 'done';
      return true;
    },
  };
}
