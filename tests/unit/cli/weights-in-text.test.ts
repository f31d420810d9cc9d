import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../../src/checks/guides.ts';
import { starterGuide } from '../../../src/cli/guides/starters/starter-guide.ts';
import { withWeights } from '../../../src/cli/guides/weights-in-text.ts';

const linksOf = (text: string) => {
  const parsed = parseGuide(text, 'guide');
  if (!parsed.ok) throw new Error(parsed.problems[0]!.what);
  return parsed.guide.links;
};

describe('weights in a guide as it is written', () => {
  test('changes one, adds one, and keeps comments and all else', () => {
    const written = withWeights(starterGuide, [
      { link: 'contact-a', mode: 'film', weight: 14.5 },
      { link: 'dome', mode: 'open', weight: 6 },
    ])!;
    const [before, after] = [linksOf(starterGuide), linksOf(written)];
    expect(after.map(({ id }) => id)).toEqual(before.map(({ id }) => id));
    expect(after.find(({ id }) => id === 'contact-a')!.weights).toEqual({ film: 14.5 });
    expect(after.find(({ id }) => id === 'dome')!.weights).toEqual({ open: 6 });
    expect(after.filter(({ id }) => id !== 'contact-a' && id !== 'dome')).toEqual(
      before.filter(({ id }) => id !== 'contact-a' && id !== 'dome'),
    );
    const comments = (text: string) => text.match(/^ *#.*$/gm)!.map((line) => line.trim());
    expect(comments(written)).toEqual(comments(starterGuide));
  });

  const keypad = readFileSync(new URL('../../../examples/membrane-keypad.yaml', import.meta.url), 'utf8');
  test.each(['dot-1', 'dot-enter'])('weights shared by an alias change for %s alone', (link) => {
    const written = withWeights(keypad, [{ link, mode: 'high', weight: 9 }])!;
    const [before, after] = [linksOf(keypad), linksOf(written)];
    const own = before.find(({ id }) => id === link)!;
    expect(after.find(({ id }) => id === link)).toEqual({ ...own, weights: { ...own.weights, high: 9 } });
    expect(after.filter(({ id }) => id !== link)).toEqual(before.filter(({ id }) => id !== link));
  });

  test('says so when there is no such link to change', () => {
    expect(withWeights(starterGuide, [{ link: 'nowhere', mode: 'open', weight: 1 }])).toBeNull();
  });
});
