import type { Guide } from '../../guide/types.ts';
import { believe } from '../../isolate/belief/belief.ts';
import { nextCheck } from '../../isolate/next/next-check.ts';
import { conclude } from '../../isolate/next/stopping.ts';
import { openModel } from '../../isolate/predict/model.ts';
import { noRepairs } from '../../isolate/repair/repair-plan.ts';
import type { Conclusion } from '../../isolate/types.ts';
import { courseOf } from '../../record/state/course.ts';
import type { JobState } from '../../record/state/job-state.ts';
import type { Isolator } from './isolator.ts';

/** Returns what tells the suspects of a guide apart; the guide's circuit is worked out when it is first asked. */
export function isolatorOf(guide: Guide): Isolator {
  let opened: ReturnType<typeof openModel> | null = null;
  const model = () => {
    opened ??= openModel(guide);
    return opened;
  };
  return {
    believe(job) {
      const { evidence, repaired } = courseOf(job);
      const belief = believe(model(), evidence, repaired);
      return 'code' in belief ? { what: `${belief.what}. ${belief.help}` } : belief;
    },
    next: (_job, belief, situation) => nextCheck(model(), belief, situation),
    conclude: (job, belief, situation) => soFar(job, conclude(model(), belief, situation, courseOf(job).repaired)),
  };
}

/**
 * Returns a conclusion as it stands beside the outcomes: where nothing but passes came out, no check left tells more, and that nothing is
 * wrong is likeliest, no fault was found, and nothing is to be repaired; what the guide can't tell from that stays in its decisions.
 */
function soFar(job: JobState, conclusion: Conclusion): Conclusion {
  const outcomes = Object.values(job.checks).flatMap(({ outcome }) => outcome ?? []);
  const isNone = conclusion.kind === 'group' && conclusion.decisions[0]?.id === 'none';
  if (!isNone || outcomes.some((outcome) => outcome !== 'pass')) return conclusion;
  return { ...conclusion, kind: 'none', plan: noRepairs };
}
