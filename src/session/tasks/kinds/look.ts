import { judge } from '../../../checks/registry.ts';
import type { LookCheck } from '../../../guide/types.ts';
import { entryKindOf } from '../../../record/kinds/stored-kinds.ts';
import type { TaskHandler } from '../handler.ts';
import { answerTo } from '../prompt-answer.ts';
import { askForPower } from '../touch.ts';

/** Returns the handler of a check that a person answers from what they see. */
export function lookTask(check: LookCheck): TaskHandler {
  return {
    start(step) {
      step.restart();
      askForPower(step, check.power);
      step.run.stage = 'asking';
      step.prompt({
        act: 'answer',
        check: check.id,
        question: check.question,
      });
    },
    on(step, event) {
      const answered = answerTo(step, event);
      if (answered !== null) {
        step.run.stage = 'recording';
        step.append({
          kind: entryKindOf('look'),
          check: check.id,
          attempt: step.nextAttempt(check.id),
          phase: step.phase,
          question: check.question,
          passAnswer: check.passAnswer,
          answer: answered.answer,
          by: answered.by,
          outcome: judge('look', { answer: answered.answer, passAnswer: check.passAnswer }).outcome,
        });
        return false;
      }
      if (event.type !== 'appended' || event.entry.kind !== entryKindOf('look')) return false;
      step.run.outcome = event.entry.outcome;
      step.sound(event.entry.outcome);
      step.run.stage = 'done';
      return true;
    },
  };
}
