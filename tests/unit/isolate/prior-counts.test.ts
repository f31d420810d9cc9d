import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../../src/checks/guides.ts';
import { starterGuide } from '../../../src/cli/guides/starters/starter-guide.ts';
import { confirmedBy, proposeWeights } from '../../../src/isolate/suspects/prior-counts.ts';

const parsed = parseGuide(starterGuide, 'starter');
if (!parsed.ok) throw new Error('the starter guide is not good');
const { guide } = parsed;

describe('weights from confirmed faults', () => {
  test('are weight plus count; shares are the mean of the Dirichlet posterior', () => {
    const told = proposeWeights(guide, [
      { link: 'contact-a', mode: 'film', count: 6 },
      { link: 'dome', mode: 'open', count: 2 },
      { link: 'contact-a', mode: 'film', count: 1 },
    ]);
    if (!told.ok) throw new Error(told.what);
    const film = told.weights.find((w) => w.link === 'contact-a' && w.mode === 'film')!;
    expect(film).toMatchObject({ before: 12, count: 7, after: 19 });
    const total = told.weights.reduce((sum, w) => sum + w.before, 0);
    expect(film.shareBefore).toBeCloseTo(12 / total, 12);
    expect(film.shareAfter).toBeCloseTo(19 / (total + 9), 12);
    expect(told.weights.reduce((sum, w) => sum + w.shareAfter, 0)).toBeCloseTo(1, 12);
    // what was not seen keeps its weight, and loses share
    const weak = told.weights.find((w) => w.link === 'contact-a' && w.mode === 'weak')!;
    expect(weak.after).toBe(weak.before);
    expect(weak.shareAfter).toBeLessThan(weak.shareBefore);
  });

  test('many cases outweigh the guide, none change nothing', () => {
    const many = proposeWeights(guide, [{ link: 'trace-b', mode: 'open', count: 1e6 }]);
    expect(many.ok && many.weights.find((w) => w.link === 'trace-b' && w.mode === 'open')!.shareAfter).toBeGreaterThan(
      0.999,
    );
    const none = proposeWeights(guide, []);
    expect(none.ok && none.weights.every((w) => w.after === w.before && w.shareAfter === w.shareBefore)).toBe(true);
  });

  test.each([
    [{ link: 'nowhere', mode: 'open' as const, count: 1 }, 'nowhere'],
    [{ link: 'dome', mode: 'open' as const, count: -1 }, '-1'],
    [{ link: 'dome', mode: 'open' as const, count: Number.NaN }, 'NaN'],
  ])('a count that makes no sense is refused: %o', (count, word) => {
    const told = proposeWeights(guide, [count]);
    expect(told).toMatchObject({ ok: false });
    expect(!told.ok && told.what).toContain(word);
  });
});

describe('what a repair confirms', () => {
  const suspect = (link: string, mode: 'film' | 'weak' | 'open', p: number) => ({
    id: `${link}=${mode}`,
    faults: [{ link, mode }],
    decision: 'x',
    prior: 0.1,
    p,
  });
  const suspects = [suspect('contact-a', 'film', 0.6), suspect('contact-b', 'film', 0.3), suspect('dome', 'open', 0.1)];

  test('is one case, in parts where it stayed open between several', () => {
    const counts = confirmedBy(guide, { suspects }, 'clean');
    expect(counts.map(({ link, mode }) => `${link}=${mode}`)).toEqual(['contact-a=film', 'contact-b=film']);
    expect(counts[0]!.count).toBeCloseTo(2 / 3, 12);
    expect(counts[1]!.count).toBeCloseTo(1 / 3, 12);
  });

  test('is nothing for a repair that mends no suspect, or that the guide does not have', () => {
    expect(confirmedBy(guide, { suspects }, 'reseat')).toEqual([]);
    expect(confirmedBy(guide, { suspects }, 'unheard-of')).toEqual([]);
  });

  test('of two faults at once, only when it mends both', () => {
    const both = [{ ...suspects[0]!, faults: [...suspects[0]!.faults, ...suspects[2]!.faults], p: 1 }];
    expect(confirmedBy(guide, { suspects: both }, 'clean')).toEqual([]);
    expect(confirmedBy(guide, { suspects: both }, 'new-key')).toEqual([
      { link: 'contact-a', mode: 'film', count: 0.5 },
      { link: 'dome', mode: 'open', count: 0.5 },
    ]);
  });
});
