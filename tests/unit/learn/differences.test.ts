import { describe, expect, test } from 'vitest';
import { type PairReading, rankDifferences } from '../../../src/learn/differences.ts';

const reads = (ohm: number, more: Partial<PairReading> = {}): PairReading => ({
  ohm,
  u: 0.001,
  isOpen: false,
  hasFilm: false,
  ...more,
});
const open = reads(1e9, { isOpen: true });

describe('two units compared', () => {
  test.each([
    ['the same', reads(0.2), reads(0.205), 'same'],
    ['more than the readings explain, less than good units may differ by', reads(0.2), reads(0.26), 'spread'],
    ['far apart', reads(0.2), reads(2), 'differs'],
    ['one open', reads(0.2), open, 'differs'],
    ['both open', open, open, 'same'],
    ['one with a film', reads(0.2), reads(0.2, { hasFilm: true }), 'differs'],
    ['both in the seat of the tips', reads(0.001), reads(0.004), 'same'],
  ])('%s', (_name, good, bad, says) => {
    expect(rankDifferences([{ id: 'pair', good, bad }])).toMatchObject([{ says }]);
  });

  test('the most telling first: what is open before what is large, what is large before what may be usual', () => {
    const ranked = rankDifferences([
      { id: 'usual', good: reads(0.2), bad: reads(0.26) },
      { id: 'large', good: reads(0.2), bad: reads(2) },
      { id: 'same', good: reads(0.2), bad: reads(0.2) },
      { id: 'open', good: reads(0.2), bad: open },
    ]);
    expect(ranked.map(({ id }) => id)).toEqual(['open', 'large', 'usual', 'same']);
  });

  test('the ratio has an uncertainty that grows with those of the readings', () => {
    const [sure] = rankDifferences([{ id: 'a', good: reads(1), bad: reads(2) }]);
    const [vague] = rankDifferences([{ id: 'a', good: reads(1, { u: 0.1 }), bad: reads(2) }]);
    expect(sure!.ratio).toBeCloseTo(2, 12);
    expect(vague!.factor!).toBeGreaterThan(sure!.factor!);
  });
});
