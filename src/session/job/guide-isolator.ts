import type { Guide } from '../../guide/types.ts';
import { believe } from '../../isolate/belief/belief.ts';
import { besideOutcomes } from '../../isolate/next/beside-outcomes.ts';
import { nextCheck } from '../../isolate/next/next-check.ts';
import { conclude } from '../../isolate/next/stopping.ts';
import { openModel } from '../../isolate/predict/model.ts';
import { historyOf, outcomesThatCount } from '../../record/state/evidence-history.ts';
import type { Isolator } from './isolator.ts';

/**
 * Returns what tells the suspects of a guide apart; the guide's circuit is worked out when it is
 * first asked.
 */
export function isolatorOf(guide: Guide): Isolator {
  let opened: ReturnType<typeof openModel> | null = null;
  const model = () => {
    opened ??= openModel(guide);
    return opened;
  };
  return {
    believe(job) {
      const { evidence, repaired } = historyOf(job);
      const belief = believe(model(), evidence, repaired);
      return 'code' in belief ? { what: `${belief.what}. ${belief.help}` } : belief;
    },
    next: (_job, belief, situation) => nextCheck(model(), belief, situation),
    conclude: (job, belief, situation) =>
      besideOutcomes(
        conclude(model(), belief, situation, historyOf(job).repaired),
        outcomesThatCount(job),
        model().rules,
      ),
  };
}
