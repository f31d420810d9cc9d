import type { Guide } from '../guide/types.ts';
import { believe, openModel } from '../isolate/belief.ts';
import { nextCheck } from '../isolate/next-check.ts';
import { conclude } from '../isolate/stopping.ts';
import { evidenceByRepair } from './evidence.ts';
import type { Isolator } from './isolator.ts';

/** Returns what tells the suspects of a guide apart; the guide's circuit is worked out when it is first asked. */
export function isolatorOf(guide: Guide): Isolator {
  let opened: ReturnType<typeof openModel> | null = null;
  const model = () => {
    opened ??= openModel(guide);
    return opened;
  };
  return {
    believe: (job) =>
      believe(
        model(),
        evidenceByRepair(job)
          .at(-1)!
          .map(({ evidence }) => evidence),
      ),
    next: (_job, belief, situation) => nextCheck(model(), belief, situation),
    conclude: (_job, belief, situation) => conclude(model(), belief, situation),
  };
}
