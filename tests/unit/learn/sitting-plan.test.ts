import { describe, expect, test } from 'vitest';
import { solveCircuit } from '../../../src/guide/circuit/circuit.ts';
import { openOhm } from '../../../src/guide/circuit/faults.ts';
import { plannedSitting, recorderTableText, tableOf } from '../../support/emulated-sitting.ts';
import { exampleText } from '../../support/example-guide.ts';

const tables = {
  recorder: tableOf(recorderTableText),
  'two-stage key': tableOf(exampleText('two-stage-key')),
};

describe.each(Object.entries(tables))('a sitting on the %s', (_name, table) => {
  const { guide } = table;
  const touches = [...plannedSitting(table).touches.values()];

  test('has 50 touches at most', () => {
    expect(touches.length).toBeLessThanOrEqual(50);
  });

  test('takes the device apart state by state, and never goes back', () => {
    const states = guide.access.map(({ id }) => id);
    const visited = touches.map(({ access }) => states.indexOf(access!));
    expect(visited).toEqual(visited.toSorted((a, b) => a - b));
  });

  test('asks for pads only where a tip can reach them', () => {
    for (const { pads, access } of touches) {
      for (const id of pads) {
        const reach = guide.pads.find((pad) => pad.id === id)!.in;
        expect(reach === undefined || reach.includes(access!)).toBe(true);
      }
    }
  });

  test('reads held paths dry before anything else', () => {
    expect(touches[0]!.what).toBe('film');
  });

  test('has touches that must read open, and they do by the table', () => {
    const apart = touches.filter(({ what }) => what === 'apart');
    expect(apart.length).toBeGreaterThan(0);
    for (const { pads, access } of apart) {
      const state = { power: 'off', pressed: [], faults: [], level: 'normal', access: access! } as const;
      expect(solveCircuit(guide, { ...state, pressed: [], faults: [] }).resistanceOhm(...pads)).toBe(openOhm);
    }
  });

  test('measures ohms on a device that is switched off, and closes nothing on a live one', () => {
    for (const check of plannedSitting(table).guide.checks) {
      expect(check.power).toBe(check.kind === 'voltage' ? 'on' : 'off');
      expect(check.kind).not.toBe('bridge');
    }
  });
});
