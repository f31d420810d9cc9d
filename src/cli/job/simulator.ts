import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { parseFault } from '../../guide/circuit/faults.ts';
import type { Fault, Guide } from '../../guide/types.ts';
import type { SimulatorOptions } from '../program/program-options.ts';

/** Returns the faults that were asked for by text. @throws usage.fault */
export function faultsOf(texts: readonly string[], guide: Guide): Fault[] {
  return texts.map((text) => {
    const parsed = parseFault(text, guide);
    if (parsed.ok) return parsed.fault;
    throw new OhmwrightError('usage.fault', `--fault ${text}: ${parsed.what}.`, {
      help: 'Write LINK=open, LINK=high:47ohm, LINK=short:NODE, LINK=film, LINK=weak, LINK=intermittent, LINK=stuck, LINK=leaky or LINK=welded.',
    });
  });
}

/**
 * Returns an emulated probe with a specimen of the guide's device at its tips, and hands to work
 * them.
 *
 * @param options `pace`: factor on the hands' times, 1 is a quick person; left out: that one, who
 *   acknowledges cautions at once
 */
export async function makeSimulator(
  guide: Guide,
  { fault, seed, realTime, pace }: SimulatorOptions & { pace?: number },
) {
  const { simulate } = await import('../../../sim/index.ts');
  return simulate({ guide, faults: faultsOf(fault, guide), seed, realTime, pace });
}

export type HandsOfSimulator = Awaited<ReturnType<typeof makeSimulator>>['hands'];
