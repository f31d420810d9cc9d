import type { Measured } from '../benchmark.ts';
import { inParts, wholeFrom } from './in-parts.ts';
import { type Counted, casesOf, measuredOf } from './paper-figures.ts';
import type { PaperResult, RowName } from './paper-rows.ts';

export const name = 'through-firmware';
export const claim =
  'the rows on paper once more through firmware, noise and hands: accusations, wrong verdicts, wrong parts and half a fault against all devices of a row';

/** Devices of a row; `OHMWRIGHT_POPULATION=100` is the whole of it, about an hour. */
const usualSize = 6;

const wrong: Counted = {
  what: 'convicted wrongly',
  is: ({ convictsWrongly }) => convictsWrongly,
  goal: null,
};
const accused: Counted = { what: 'accused', is: ({ accuses }) => accuses, goal: null };
const counted: Record<RowName, readonly Counted[]> = {
  'worn-2': [accused],
  'worn-3': [accused],
  'worn-5': [accused],
  'fault-and-wear': [wrong],
  'two-faults': [{ what: 'neither or one as the whole', is: ({ isPartial }) => isPartial, goal: null }, wrong],
  'not-in-guide': [wrong, { what: 'wrong part bought', is: ({ buysWrong }) => buysWrong, goal: null }],
  'in-guide': [{ what: 'named rightly', is: ({ isRight }) => isRight, goal: null }, wrong],
};
/** Shares that a row is held to as it is measured: a hundred devices can't hold an upper end of 0.5 %. */
const mostShare: Partial<Record<RowName, number>> = {
  'worn-2': 0.01,
  'worn-3': 0.01,
  'worn-5': 0.01,
  'fault-and-wear': 0.02,
  'two-faults': 0.1,
  'not-in-guide': 0.03,
};

/** Returns the shares of each row, with their intervals. */
export async function measure(): Promise<Measured> {
  const size = wholeFrom('OHMWRIGHT_POPULATION', usualSize, 2);
  const seed = wholeFrom('OHMWRIGHT_SEED', 1, 1);
  const all: { row: RowName; results: PaperResult[]; counted: readonly Counted[] }[] = [];
  for (const row of Object.keys(counted) as RowName[]) {
    const results = await inParts<PaperResult>('firmware-child.ts', [row, String(size), String(seed)], size);
    if (results.length !== size)
      throw new Error(`${results.length} of ${size} devices of row ${row} were gone through`);
    all.push({ row, results, counted: counted[row] });
  }
  const measured = measuredOf(all);
  const figures = all.flatMap(({ row, results }) => {
    const most = mostShare[row];
    const [first] = counted[row];
    if (most === undefined || first === undefined) return [];
    const share = results.filter(first.is).length / results.length;
    return [{ what: `${row}: ${first.what}`, value: share, sense: 'at most' as const, target: most }];
  });
  const odd = all.flatMap(({ row, results }) => casesOf(results, row.startsWith('worn') ? accused.is : wrong.is));
  return { ...measured, figures, lines: [...measured.lines!, ...odd] };
}
