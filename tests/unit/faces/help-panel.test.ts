import { createElement } from 'react';
import { describe, expect, test } from 'vitest';
import { BenchScreen } from '../../../src/faces/screen/job/bench-screen.tsx';
import { markText } from '../../../src/faces/screen/parts/theme.ts';
import { benchHelp } from '../../../src/view/words/key-help.ts';
import { type Mark, marks } from '../../../src/view/words/mark.ts';
import { ascii, frameOf, seenOf, sizes, unicode } from '../../support/frames.ts';
import { DrySession } from './scenes.ts';

/** Every page of the help as a person turns them, until the first comes again. */
async function pagesOf(cols: number, rows: number, theme: typeof unicode, over = ''): Promise<string[][]> {
  const at = new DrySession().opened().choose('spring-a').keys('?');
  if (over !== '') at.give({ type: 'disconnected', why: over });
  const pages: string[][] = [];
  for (let turned = 0; turned < 12; turned++) {
    const { view } = at;
    const frame = frameOf(createElement(BenchScreen, { view, cols, rows, theme }), cols);
    const { lines, broken } = await seenOf(frame, cols, rows);
    expect(broken).toBe(0);
    if (lines.join('\n') === pages[0]?.join('\n')) break;
    pages.push(lines);
    at.keys('?');
  }
  return pages;
}

describe.each([unicode, ascii])('the help, unicode $unicode', (theme) => {
  test.each(sizes)('has every key, every move and every mark with its meaning at %dx%d', async (cols, rows) => {
    const pages = await pagesOf(cols, rows, theme);
    const rowsSeen = pages.flat().map((line) => line.trim());
    for (const section of benchHelp) {
      const pairs = 'pairs' in section ? section.pairs : section.marks;
      for (const [left, right] of pairs) {
        const shown = left in marks ? markText(left as Mark, theme) : left;
        const row = rowsSeen.find((line) => line.startsWith(`${shown} `) && line.includes(right));
        expect(row, `${shown} ${right}`).toBeDefined();
      }
    }
    expect(pages.length).toBeLessThanOrEqual(rows === 16 ? 4 : 2);
  });
});

test('no row is lost where trouble is said over the help', async () => {
  const pages = await pagesOf(60, 16, unicode, 'the cable was pulled');
  for (const page of pages) expect(page.join('\n')).toContain('the cable was pulled');
  const text = pages.flat().join('\n');
  for (const section of benchHelp) {
    for (const [, right] of 'pairs' in section ? section.pairs : section.marks) expect(text).toContain(right);
  }
});
