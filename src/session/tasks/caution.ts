import type { Guide } from '../../guide/types.ts';
import type { TaskHandler } from './handler.ts';
import { answerTo } from './prompt-answer.ts';

/**
 * Returns the handler of a caution: it is read and acknowledged by name before anything is
 * measured.
 */
export function cautionTask(guide: Guide, id: string): TaskHandler {
  const caution = guide.cautions.find((c) => c.id === id)!;
  return {
    start(step) {
      step.restart();
      const accepted = step.state.settings.acceptedCautions;
      if (accepted.includes('all') || accepted.includes(id)) {
        step.run.stage = 'recording';
        step.append({ kind: 'caution', id, text: caution.text, by: 'option' });
        return;
      }
      step.run.stage = 'asking';
      step.prompt({
        act: 'answer',
        caution: id,
        question: `understood: ${id}?`,
      });
    },
    on(step, event) {
      const answered = answerTo(step, event);
      if (answered !== null) {
        if (answered.answer === 'yes') {
          step.run.stage = 'recording';
          step.append({ kind: 'caution', id, text: caution.text, by: answered.by });
        } else {
          step.state.ending = { kind: 'closed', why: `caution ${id} was not acknowledged` };
        }
        return false;
      }
      if (event.type !== 'appended' || event.entry.kind !== 'caution' || event.entry.id !== id) return false;
      step.run.stage = 'done';
      return true;
    },
  };
}
