// The firmware on a wire that loses, flips, doubles and delays bytes: nothing wrong is ever told, and whatever is missing is told.
import { describe, expect, test } from 'vitest';
import { FaultyWire, SimTransport, type WireFaultRates } from '../../sim/index.ts';
import type { LinkItem } from '../../src/link/probe/link-item.ts';
import { listenOnly } from '../../src/link/probe/listen-only.ts';
import { idleProbe } from './emulated-rig.ts';
import { connectTo } from './link-contract.ts';

const wires: [string, WireFaultRates][] = [
  ['loses bytes', { lost: 0.003 }],
  ['flips bits', { flipped: 0.003 }],
  ['doubles bytes', { doubled: 0.003 }],
  ['delays', { delayed: 0.05 }],
  ['does all of it', { lost: 0.001, flipped: 0.001, doubled: 0.001, delayed: 0.02 }],
];

/** Streams over a bad wire; returns what the link told, and what the probe really sent. */
async function stream(rates: WireFaultRates, seed: number) {
  const inner = new SimTransport({ probe: idleProbe() });
  const sent: Uint8Array[] = [];
  inner.onData((bytes) => sent.push(bytes));
  const wire = new FaultyWire(inner, seed, {});
  const { link, items, until } = await connectTo({ source: () => wire });
  await link.request({ type: 'start', rate: 'standard', batch: 8 });
  items.length = 0;
  wire.rates = rates;
  await until((item) => item.kind === 'disconnected' || (item.kind === 'readings' && item.batch.index > 1500));
  wire.rates = {};
  const told = [...items];
  await link.close();
  const truth: LinkItem[] = [];
  listenOnly(Buffer.concat(sent), (item) => truth.push(item));
  return { told, truth, counters: link.counters(), wire: wire.counters };
}

describe.each(wires)('a wire that %s', (_name, rates) => {
  test.each([1, 2])(
    'tells no reading that the probe did not send, and a gap where one is missing (seed %d)',
    async (seed) => {
      const { told, truth, wire } = await stream(rates, seed);
      expect(Object.values(wire).some((count) => count > 0)).toBe(true);
      expect(told.filter((item) => item.kind === 'disconnected')).toEqual([]);
      const sent = new Map(truth.flatMap((item) => (item.kind === 'readings' ? [[item.batch.index, item.batch]] : [])));
      let next = 0;
      let toldMissing = 0;
      for (const item of told) {
        if (item.kind === 'gap') toldMissing += item.missing ?? 0;
        if (item.kind !== 'readings') continue;
        expect(item.batch).toEqual(sent.get(item.batch.index));
        // the first frame of a stream may go unseen: nothing came before it to miss it by
        if (next > 0) expect(item.batch.index - next).toBe(toldMissing);
        next = item.batch.index + item.batch.codes.length;
        toldMissing = 0;
      }
      expect(next).toBeGreaterThan(1500);
    },
  );
});
