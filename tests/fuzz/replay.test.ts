// Every parser that meets foreign bytes, with all inputs that fuzzing kept, and a few changes of each.
import { describe, expect, test } from 'vitest';
import { readCorpus } from './corpus.ts';
import { drawOf, whyNotAgain } from './loop.ts';
import { mutated, wordsOf } from './mutate.ts';
import { resultOf } from './properties.ts';
import type { FuzzTarget } from './target.ts';
import { loadTarget, targetNames } from './targets.ts';

/** Changed inputs of a parser beside the kept ones, fewer where one takes long; the long run is `npm run fuzz`. */
const changesOf = ({ executions }: FuzzTarget): number => (executions < 200_000 ? 30 : 150);

describe.each(targetNames)('%s', { timeout: 120_000 }, (name) => {
  test('reads or refuses whatever is kept, twice the same', async () => {
    const target = await loadTarget(name);
    const kept = [...readCorpus(name, 'kept'), ...readCorpus(name, 'found')];
    expect(kept.length).toBeGreaterThan(1);
    const broken = kept.map((input) => whyNotAgain(target, input, resultOf(target, input)));
    expect(broken.filter((why) => why !== null)).toEqual([]);
  });

  test('reads or refuses changes of it', async () => {
    const target = await loadTarget(name);
    const pool = [...readCorpus(name, 'kept'), ...target.seeds()];
    const draw = drawOf(1, name);
    const words = wordsOf(target);
    const broken = Array.from({ length: changesOf(target) }, () => {
      const input = mutated(target, draw.of(pool), draw.of(pool), words, draw);
      return whyNotAgain(target, input, resultOf(target, input));
    });
    expect(broken.filter((why) => why !== null)).toEqual([]);
  });
});
