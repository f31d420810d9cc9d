import type { Check, Guide, Level } from '../../guide/types.ts';
import type { Task } from '../job/task-list.ts';
import { needing } from './capability.ts';
import { cautionTask } from './caution.ts';
import { conclusionTask } from './conclusion.ts';
import type { TaskHandler } from './handler.ts';
import { bridgeTask } from './kinds/bridge.ts';
import { dryNormalTask } from './kinds/dry-normal.ts';
import { lookTask } from './kinds/look.ts';
import { pressesTask } from './kinds/presses.ts';
import { steadyTask } from './kinds/steady.ts';
import { proofPlan } from './proof.ts';
import { readingCheck } from './reading-record.ts';
import { touchHandler } from './touch.ts';

/** How each kind of check is carried out. A new kind is one line here; `src/checks/README.md` has the whole recipe. */
const checkKinds: { [K in Check['kind']]: (guide: Guide, check: Extract<Check, { kind: K }>) => TaskHandler } = {
  resistance: (guide, check) => atLevel(check, touchHandler(readingCheck(guide, check))),
  voltage: (guide, check) => touchHandler(readingCheck(guide, check)),
  look: (_guide, check) => lookTask(check),
  presses: (guide, check) => atLevel(check, pressesTask(guide, check)),
  bridge: (guide, check) => needing('bridge', check, bridgeTask(guide, check)),
  'dry-normal': (guide, check) => needing('dryLevel', check, dryNormalTask(guide, check)),
  steady: (guide, check) => atLevel(check, steadyTask(guide, check)),
};

function atLevel(check: Extract<Check, { level: Level }>, handler: TaskHandler): TaskHandler {
  return check.level === 'dry' ? needing('dryLevel', check, handler) : handler;
}

/** Returns the handler of a task. */
export function handlerOf(guide: Guide, task: Task): TaskHandler {
  switch (task.kind) {
    case 'caution':
      return cautionTask(guide, task.id);
    case 'conclusion':
      return conclusionTask;
    case 'proof':
      return touchHandler(proofPlan(task.when, task.what));
    case 'check': {
      const check = guide.checks.find((c) => c.id === task.id)!;
      const make = checkKinds[check.kind] as (guide: Guide, check: Check) => TaskHandler;
      return make(guide, check);
    }
  }
}
