import { randomOf } from '../../../sim/random.ts';
import { faultText } from '../../../src/guide/circuit/faults.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { historyOf } from '../../../src/record/state/evidence-history.ts';
import { isPart } from './decisions.ts';
import { type Specimen, sit } from './population-rig.ts';
import { drawFault } from './specimen.ts';

/** A device with the decision that is right for it. */
export type Drawn = Specimen & { readonly truth: string };

/** What became of one device, as plain data. */
export interface Judged {
  readonly guide: string;
  /** What is wrong with it, as it is typed; empty for a healthy one. */
  readonly fault: string;
  readonly seed: number;
  readonly conclusion: string;
  /** What was named, with its probability. */
  readonly named: string;
  /** The conclusion names what is at fault: alone, or in a group that no check of the guide tells apart. */
  readonly isRight: boolean;
  readonly isAlone: boolean;
  /** The first repair of the plan buys a part that mends nothing. */
  readonly buysWrong: boolean;
  /** Attempts at checks, repeats included. */
  readonly checks: number;
  /** Checks until one decision was probable enough in the guide's order; null where that was not gone through. */
  readonly inGuideOrder: number | null;
  readonly probeSeconds: number;
}

/** Returns a faulty device of the population: the number decides everything about it. */
export function faultyDevice(guide: Guide, number: number): Drawn {
  const { fault, decision } = drawFault(guide, randomOf(number, 'population'));
  return { guide, seed: 50_000 + number, faults: [fault], truth: decision };
}

/** Returns a healthy device of the population. */
export function healthyDevice(guide: Guide, number: number): Drawn {
  return { guide, seed: 150_000 + number, faults: [], truth: 'none' };
}

/** Goes through a session on a device, and through the guide's order as well where that is asked for. */
export async function judgeDevice(specimen: Drawn, inGuideOrder: boolean): Promise<Judged> {
  const { guide, truth, faults, seed } = specimen;
  const { concluded, attempts, probeSeconds } = await sit(specimen);
  const named = concluded?.decisions.map(({ id }) => id) ?? [];
  const isSure = concluded?.conclusion === 'fault' || concluded?.conclusion === 'none';
  const first = guide.repairs.find(({ id }) => id === concluded?.plan.steps[0]?.repair);
  const mends = first?.fixes.some(({ link, mode }) =>
    faults.some((fault) => fault.link === link && (mode === null || mode === fault.mode)),
  );
  return {
    guide: guide.id,
    fault: faults.map(faultText).join(' '),
    seed,
    conclusion: concluded?.conclusion ?? 'left',
    named: concluded?.decisions.map(({ id, p }) => `${id} ${p.toFixed(2)}`).join(', ') ?? 'nothing',
    isRight: isSure ? named[0] === truth : named.includes(truth),
    isAlone: isSure,
    buysWrong: concluded?.conclusion === 'fault' && first !== undefined && isPart(guide, first) && mends !== true,
    checks: attempts.length,
    inGuideOrder: inGuideOrder ? await checksInGuideOrder(specimen) : null,
    probeSeconds,
  };
}

/** Returns how many checks it takes in the guide's order until one decision is probable enough; all of them when none ever is. */
async function checksInGuideOrder(specimen: Specimen): Promise<number> {
  const { guide } = specimen;
  const { job } = await sit(specimen, { order: 'guide' });
  const model = openModel(guide);
  const { evidence } = historyOf(job);
  for (let count = 1; count <= evidence.length; count++) {
    const belief = believe(model, evidence.slice(0, count));
    if ('decisions' in belief && belief.decisions[0]!.p >= guide.confidence) return count;
  }
  return evidence.length;
}
