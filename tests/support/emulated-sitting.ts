import { readFileSync } from 'node:fs';
import { randomOf } from '../../sim/random.ts';
import { solveCircuit } from '../../src/guide/circuit/circuit.ts';
import type { Fault, Guide } from '../../src/guide/types.ts';
import type { ReadTouch } from '../../src/learn/fit-links.ts';
import { type Sitting, sittingOf } from '../../src/learn/sitting-guide.ts';
import { type LearnTable, readTable } from '../../src/learn/table.ts';

/** Returns the table in a text, or throws what keeps it from being one. */
export function tableOf(text: string): LearnTable {
  const read = readTable(text, 'table.yaml');
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.table;
}

export function plannedSitting(table: LearnTable): Sitting {
  const planned = sittingOf(table);
  if (!planned.ok) throw new Error(JSON.stringify(planned.problems));
  return planned.sitting;
}

/** The recorder of the examples as a technician tells it: no values, and simpler than it is. */
export const recorderTableText = readFileSync(
  new URL('../fixtures/guides/recorder-table.yaml', import.meta.url),
  'utf8',
);

/** How the tips vary from touch to touch: 2 mohm of seat, 0.2 % of the value. */
const seatOhm = 0.002;
const share = 0.002;

/**
 * Returns what the touches of a sitting read on one specimen of a device, each with its own noise.
 * `wrong` puts a tip on another pad in one touch.
 */
export function readingsOn(
  device: Guide,
  sitting: Sitting,
  options: { seed: number; faults?: readonly Fault[]; wrong?: { touch: string; pad: string } },
): { read: ReadTouch[]; linkOhm: Record<string, number> } {
  const { seed, faults = [], wrong } = options;
  const drawn = randomOf(seed, 'specimen');
  const noise = randomOf(seed, 'tips');
  const linkOhm = Object.fromEntries(
    device.links.map(({ id, ohm, spread }) => [id, ohm * Math.exp(spread * drawn.normalWithin(2))]),
  );
  const read = [...sitting.touches]
    .filter(([, { what }]) => what !== 'volt' && what !== 'steady')
    .map(([id, touch]): ReadTouch => {
      const { pressed, access } = touch;
      const state = { power: 'off', pressed, faults: [...faults], level: 'normal', linkOhm } as const;
      const circuit = solveCircuit(device, {
        ...state,
        pressed: [...pressed],
        faults: [...faults],
        access: access ?? undefined,
      });
      const pads: [string, string] = wrong?.touch === id ? [wrong.pad, touch.pads[1]] : touch.pads;
      const ohm = circuit.resistanceOhm(...pads);
      const seen = ohm * (1 + share * noise.normalWithin(3)) + seatOhm * noise.normalWithin(3);
      return { id, touch, ohm: seen, u: 0.002 + 0.001 * ohm, isOpen: ohm > 1e7, hasFailed: false };
    });
  return { read, linkOhm };
}
