import type { Measured } from '../benchmark.ts';
import { casesOf, measuredOf, resultsOf } from './paper-figures.ts';

export const name = 'fault-and-wear';
export const claim =
  'devices with a fault of their guide whose contacts all have 4 times their ohms, on paper: verdicts that are wrong against all devices';

/** Returns the share of wrong convictions. */
export async function measure(): Promise<Measured> {
  const results = await resultsOf('fault-and-wear');
  const measured = measuredOf([
    {
      row: 'fault and 4 times',
      results,
      counted: [
        {
          what: 'convicted wrongly',
          is: ({ convictsWrongly }) => convictsWrongly,
          goal: { sense: 'at most', share: 0.02 },
        },
        { what: 'named rightly', is: ({ isRight }) => isRight, goal: null },
        { what: 'said to be sound', is: ({ kind }) => kind === 'none', goal: null },
        { what: 'wrong part bought', is: ({ buysWrong }) => buysWrong, goal: null },
      ],
    },
  ]);
  return { ...measured, lines: [...measured.lines!, ...casesOf(results, ({ convictsWrongly }) => convictsWrongly)] };
}
