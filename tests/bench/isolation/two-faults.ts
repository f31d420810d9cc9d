import type { Measured } from '../benchmark.ts';
import { casesOf, measuredOf, resultsOf } from './paper-figures.ts';

export const name = 'two-faults';
export const claim =
  'devices with two faults of different units, on paper: those of which neither or only one is named as the whole against all devices';

/** Returns the share of devices that go back with a fault that nobody spoke of. */
export async function measure(): Promise<Measured> {
  const results = await resultsOf('two-faults');
  const measured = measuredOf([
    {
      row: 'two faults',
      results,
      counted: [
        {
          what: 'neither or one as the whole',
          is: ({ isPartial }) => isPartial,
          goal: { sense: 'at most', share: 0.1 },
        },
        { what: "said to be 'at least this'", is: ({ isAtLeast }) => isAtLeast, goal: null },
        { what: 'convicted wrongly', is: ({ convictsWrongly }) => convictsWrongly, goal: null },
        { what: 'both named', is: ({ isRight }) => isRight, goal: null },
      ],
    },
  ]);
  return { ...measured, lines: [...measured.lines!, ...casesOf(results, ({ convictsWrongly }) => convictsWrongly)] };
}
