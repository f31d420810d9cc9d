import { parseResistorSet } from '../../../src/calibrate/standards/resistor-set.ts';
import type { FuzzTarget } from '../target.ts';
import { bytesOf, example, textOf, yamlWords } from './text.ts';

/** A set of resistors. */
export const resistorSet: FuzzTarget = {
  name: 'resistor-set',
  executions: 100_000,
  mostBytes: 2_000,
  mostSteps: { base: 50_000, aByte: 500 },
  words: [...yamlWords, 'set: 1', '4.7 ohm 0.1 %', '4K7B', 'brown black black red gold', 'coverage: 2', 'expanded: '],
  seeds: () => [example('bench-resistors.yaml')].map(bytesOf),
  run: (bytes) => parseResistorSet(textOf(bytes)),
};
