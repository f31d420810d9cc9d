import type { Measured } from '../benchmark.ts';
import { casesOf, measuredOf, resultsOf } from './paper-figures.ts';

export const name = 'not-in-guide';
export const claim =
  'devices with something wrong that their guide does not hold, on paper: wrong parts bought and wrong verdicts against all devices';

/** Returns the shares of wrong parts and wrong convictions. */
export async function measure(): Promise<Measured> {
  const results = await resultsOf('not-in-guide');
  const measured = measuredOf([
    {
      row: 'not in guide',
      results,
      counted: [
        { what: 'wrong part bought', is: ({ buysWrong }) => buysWrong, goal: { sense: 'at most', share: 0.02 } },
        {
          what: 'convicted wrongly',
          is: ({ convictsWrongly }) => convictsWrongly,
          goal: { sense: 'at most', share: 0.03 },
        },
        { what: 'convicted', is: ({ kind }) => kind === 'fault', goal: null },
      ],
    },
  ]);
  return {
    ...measured,
    lines: [...measured.lines!, ...casesOf(results, ({ convictsWrongly }) => convictsWrongly, 20)],
  };
}
