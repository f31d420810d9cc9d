import type { SittingReading } from '../../learn/read-sitting.ts';
import { knownGoodOf } from '../../record/state/known-good.ts';
import type { ReadResult } from '../../record/store/read-record.ts';

/** Returns what each check of a record read, by its id; null where nothing can be relied on. */
export function readingsOf({ state, entries }: ReadResult): (id: string) => SittingReading | null {
  const readings = new Map(knownGoodOf(state, entries).map(({ check, reading }) => [check, reading]));
  return (id) => {
    const reading = readings.get(id) ?? null;
    if (reading === null) return null;
    const hasFailed = state.checks[id]?.outcome === 'fail';
    return { value: reading.value, u: reading.u, isOpen: reading.state === 'above-range', hasFailed };
  };
}
