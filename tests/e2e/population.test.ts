// A handful of the population that `npm run bench -- population` goes through: whole sessions from cautions to conclusion on emulated devices.
import { describe, expect, test } from 'vitest';
import { randomOf } from '../../sim/random.ts';
import { faultText } from '../../src/guide/circuit/faults.ts';
import { sit } from '../bench/isolation/population-rig.ts';
import { drawFault } from '../bench/isolation/specimen.ts';
import { exampleGuide } from '../support/example-guide.ts';

describe('devices that are drawn from the priors', { timeout: 300_000 }, () => {
  test.each([
    ['field-recorder', 0],
    ['two-stage-key', 1],
    ['membrane-keypad', 6],
  ] as const)('%s, specimen %d: what is at fault is among what the conclusion names', async (name, at) => {
    const guide = exampleGuide(name);
    const { fault, decision } = drawFault(guide, randomOf(at, 'few'));
    const { concluded, job } = await sit({ guide, seed: 300 + at, faults: [fault] });
    const named = concluded?.decisions.map(({ id }) => id);
    expect(named, `${faultText(fault)}: ${concluded?.conclusion} ${named?.join(', ')}`).toContain(decision);
    if (concluded?.conclusion === 'fault') expect(named![0]).toBe(decision);
    expect(job.closed).not.toBeNull();
    // a pass that rests on an unproven closure cannot be
    for (const { attempts } of Object.values(job.checks)) {
      for (const { evidence, outcome } of attempts) {
        if (evidence?.kind === 'bridge' && !evidence.proven) expect(outcome).not.toBe('pass');
      }
    }
  });

  test('a healthy one: nobody is accused', async () => {
    const guide = exampleGuide('two-stage-key');
    const { concluded, job } = await sit({ guide, seed: 400, faults: [] });
    expect(concluded?.conclusion).not.toBe('fault');
    expect(concluded?.decisions[0]).toMatchObject({ id: 'none' });
    expect(job.closed).not.toBeNull();
  });
});
