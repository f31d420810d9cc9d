import type { Check, Guide } from '../../guide/types.ts';
import type { BenchEvent } from '../job/job-session-state.ts';
import type { Turn } from '../job/transition.ts';
import type { TaskHandler } from './handler.ts';
import { askForPower } from './touch.ts';

/** Returns the handler of a check that a person answers from what they see. */
export function lookTask(check: Extract<Check, { kind: 'look' }>): TaskHandler {
  return {
    start(turn) {
      turn.restart();
      askForPower(turn, check.power);
      turn.run.stage = 'asking';
      turn.prompt({
        act: 'answer',
        check: check.id,
        question: check.question,
        text: `${check.title}\n${check.prompt}\n${check.question} (yes, no or unsure)`,
      });
    },
    on(turn, event) {
      const answered = answerTo(turn, event);
      if (answered !== null) {
        const outcome =
          answered.answer === 'unsure' ? 'borderline' : answered.answer === check.passAnswer ? 'pass' : 'fail';
        turn.run.stage = 'recording';
        turn.append({
          kind: 'observation',
          check: check.id,
          attempt: turn.nextAttempt(check.id),
          phase: turn.phase,
          question: check.question,
          passAnswer: check.passAnswer,
          answer: answered.answer,
          by: answered.by,
          outcome,
        });
        return false;
      }
      if (event.type !== 'appended' || event.entry.kind !== 'observation') return false;
      turn.run.outcome = event.entry.outcome;
      turn.sound(event.entry.outcome);
      turn.run.stage = 'done';
      return true;
    },
  };
}

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
        question: `understood: ${id}?`,
        text: `Caution ${id}: ${caution.title}\n${caution.text}\nUnderstood (yes or no)?`,
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

function answerTo(turn: Turn, event: BenchEvent): Extract<BenchEvent, { type: 'answer' }> | null {
  if (event.type !== 'answer' || turn.run.stage !== 'asking') return null;
  return event.prompt === turn.run.prompt?.id ? event : null;
}
