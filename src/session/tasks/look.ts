import { judge } from '../../checks/registry.ts';
import type { LookCheck } from '../../guide/types.ts';
import { entryKindOf } from '../../record/entries/stored-kinds.ts';
import { answerTo } from './answer.ts';
import type { TaskHandler } from './handler.ts';
import { askForPower } from './touch.ts';

/** Returns the handler of a check that a person answers from what they see. */
export function lookTask(check: LookCheck): TaskHandler {
  return {
    start(turn) {
      turn.restart();
      askForPower(turn, check.power);
      turn.run.stage = 'asking';
      turn.prompt({
        act: 'answer',
        check: check.id,
        question: check.question,
      });
    },
    on(turn, event) {
      const answered = answerTo(turn, event);
      if (answered !== null) {
        turn.run.stage = 'recording';
        turn.append({
          kind: entryKindOf.look,
          check: check.id,
          attempt: turn.nextAttempt(check.id),
          phase: turn.phase,
          question: check.question,
          passAnswer: check.passAnswer,
          answer: answered.answer,
          by: answered.by,
          outcome: judge('look', { answer: answered.answer, passAnswer: check.passAnswer }).outcome,
        });
        return false;
      }
      if (event.type !== 'appended' || event.entry.kind !== entryKindOf.look) return false;
      turn.run.outcome = event.entry.outcome;
      turn.sound(event.entry.outcome);
      turn.run.stage = 'done';
      return true;
    },
  };
}
