import type { Measured } from '../benchmark.ts';
import { type Counted, casesOf, measuredOf, resultsOf } from './paper-figures.ts';
import type { PaperResult } from './paper-rows.ts';

export const name = 'worn-contacts';
export const claim =
  'sound devices whose contacts all have 2, 3 and 5 times their ohms, every reading inside its limits, on paper: how many are said to be faulty, against none';

const counted: readonly Counted[] = [
  { what: 'accused', is: ({ accuses }) => accuses, goal: { sense: 'at most', share: 0.005 } },
  { what: 'convicted', is: ({ kind }) => kind === 'fault', goal: null },
];

/** Returns the share of sound devices that are accused, for each wear. */
export async function measure(): Promise<Measured> {
  const all: { row: string; results: PaperResult[]; counted: readonly Counted[] }[] = [];
  for (const times of [2, 3, 5] as const) {
    all.push({ row: `${times} times`, results: await resultsOf(`worn-${times}`), counted });
  }
  const measured = measuredOf(all);
  return {
    ...measured,
    lines: [
      ...measured.lines!,
      ...casesOf(
        all.flatMap(({ results }) => results),
        ({ accuses }) => accuses,
      ),
    ],
  };
}
