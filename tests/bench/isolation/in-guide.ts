import type { Measured } from '../benchmark.ts';
import before from './before.json' with { type: 'json' };
import { casesOf, measuredOf, resultsOf } from './paper-figures.ts';

export const name = 'in-guide';
export const claim =
  'devices with one fault of their guide drawn from its priors, on paper: what is named against what is at fault, and the checks it took against those of version 0.2.0';

/** Returns the share of devices that are named rightly, and the checks it took. */
export async function measure(): Promise<Measured> {
  const results = await resultsOf('in-guide');
  const measured = measuredOf([
    {
      row: 'one fault',
      results,
      counted: [
        { what: 'named rightly', is: ({ isRight }) => isRight, goal: { sense: 'at least', share: 0.98 } },
        { what: 'named alone', is: ({ isAlone, isRight }) => isAlone && isRight, goal: null },
        { what: "said to be 'at least this'", is: ({ isAtLeast }) => isAtLeast, goal: null },
        { what: 'convicted wrongly', is: ({ convictsWrongly }) => convictsWrongly, goal: null },
        { what: 'wrong part bought', is: ({ buysWrong }) => buysWrong, goal: null },
      ],
    },
  ]);
  const checks = results.reduce((sum, one) => sum + one.attempts, 0) / results.length;
  const minutes = results.reduce((sum, one) => sum + one.minutes, 0) / results.length;
  return {
    ...measured,
    figures: [
      ...measured.figures,
      { what: 'checks, of those of version 0.2.0', value: checks / before.attempts, sense: 'at most', target: 1.1 },
      { what: 'minutes, of those of version 0.2.0', value: minutes / before.minutes, sense: 'at most', target: 1.15 },
    ],
    lines: [...measured.lines!, ...casesOf(results, ({ isRight }) => !isRight)],
  };
}
