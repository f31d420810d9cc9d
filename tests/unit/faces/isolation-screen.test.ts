import { createElement } from 'react';
import { describe, expect, test } from 'vitest';
import { BenchScreen } from '../../../src/faces/screen/job/bench-screen.tsx';
import type { Theme } from '../../../src/faces/screen/parts/theme.ts';
import { marks } from '../../../src/view/words/mark.ts';
import { captured, lift, make } from '../../support/dry-bench.ts';
import { ascii, frameOf, seenOf, sizes, unicode } from '../../support/frames.ts';
import { concluded, isolating } from './isolation-scenes.ts';
import { type DrySession, down, enter, escapeKey } from './scenes.ts';

const screen = ({ view }: DrySession, cols: number, rows: number, theme: Theme) =>
  seenOf(frameOf(createElement(BenchScreen, { view, cols, rows, theme }), cols), cols, rows);
const see = async (at: DrySession, cols = 80, rows = 24, theme: Theme = unicode) =>
  (await screen(at, cols, rows, theme)).lines.join('\n');

const repairing = (): DrySession => concluded().keys('1');
const repaired = (): DrySession => repairing().keys('y');

const scenes: Record<string, () => DrySession> = {
  'a proposed check': isolating,
  'an outcome with the next check': () => isolating().hold(0.2),
  'a conclusion': concluded,
  'a repair being done': repairing,
  'the same check again': repaired,
  'a unit being chosen': () => isolating().keys('x', down),
  'a check being chosen in place of a repair': () => concluded().keys('c', down),
};

describe.each(Object.entries(scenes))('%s', (_name, scene) => {
  test.each(sizes)('fits %dx%d, in colourless Unicode and in ASCII', async (cols, rows) => {
    for (const theme of [unicode, ascii]) {
      const { lines, broken } = await screen(scene(), cols, rows, theme);
      expect(broken).toBe(0);
      expect(
        lines
          .slice(rows - 1)
          .join('')
          .trim(),
      ).toBe('');
      if (theme === ascii) expect(lines.join('')).toMatch(/^[\x20-\x7e]*$/);
    }
  });
});

describe('a person sees', () => {
  test('what may be wrong, with a name, a number and a bar, and why this check is asked for', async () => {
    const seen = await see(isolating());
    expect(seen).toMatch(/jack board +87 % █+/);
    expect(seen).toContain('because it tells the jack board from the main board');
    expect(await see(isolating(), 80, 24, ascii)).toMatch(/jack board +87 % #+/);
  });

  test('the longer bar beside the larger number', async () => {
    const bars = (await see(isolating(), 120, 40)).split('\n').flatMap((line) => / %\s+(█+)/.exec(line)?.[1] ?? []);
    expect(bars.length).toBeGreaterThan(1);
    expect(bars[0]!.length).toBeGreaterThan(bars[1]!.length * 5);
  });

  test('what comes next while the outcome is still held', async () => {
    const seen = await see(isolating().hold(0.2));
    expect(seen).toContain('next: Right spring');
    expect(seen).toContain('because it tells the jack board');
  });

  test.each([
    [80, 24],
    [120, 40],
  ] as const)('at %dx%d the conclusion with its reasons, repairs, prices and minutes', async (cols, rows) => {
    const seen = await see(concluded(), cols, rows);
    expect(seen).toContain('jack board (87 %)');
    expect(seen).toContain('above 10 Mohm');
    expect(seen).toMatch(/1 {2}fit a new jack board +84 % +31\.50 +18 min/);
    expect(seen).toMatch(/0 {2}close the job without a repair/);
    expect(seen).toMatch(/28\.22 EUR, 19 min/);
    expect(seen).toMatch(/37\.40 EUR, 27 min/);
  });

  test('where there is room also what was not tested and what would tell the rest apart', async () => {
    const seen = await see(concluded(), 120, 40);
    expect(seen).toMatch(/Not tested \(3\)/);
    expect(seen).toContain('a known-good jack board to swap in');
  });

  test('a repair to do, and the keys that say it is done', async () => {
    const seen = await see(repairing());
    expect(seen).toContain('Do this: fit a new jack board');
    expect(seen).toContain('battery disconnected');
    expect(seen).toMatch(/y {2}it is done +n {2}not done/);
  });

  test('before beside after in the list', async () => {
    const at = repaired();
    expect(await see(at)).toContain('✗ · Left spring');
    at.hold(0.2);
    expect(await see(at)).toContain(`${marks.fail.unicode} ${marks.pass.unicode} Left spring`);
    expect(await see(at, 80, 24, ascii)).toContain(`${marks.fail.ascii} ${marks.pass.ascii} Left spring`);
  });

  test('what a check came to before the repair, while it is done again', async () => {
    expect(await see(repaired())).toMatch(/before the repair: ✗ fail .*10 Mohm/);
  });

  test('both units of an interface where its name has no room', async () => {
    expect(await see(isolating())).toMatch(/jack \/ (record )?key +9 %/);
    expect(await see(isolating(), 120, 40)).toMatch(/jack \/ record key/);
  });
});

describe('keys', () => {
  test('a number chooses a repair, and nothing is on record before it was done', () => {
    const at = repairing();
    expect(at.bench.kinds()).not.toContain('repair');
    at.keys('n');
    expect(at.view.question?.kind).toBe('choose');
    at.keys('2', 'y');
    expect(at.bench.state.job.repairs).toMatchObject([{ repair: 'clean', by: 'person' }]);
  });

  test('0 goes on without a repair; a number that is not there does nothing', () => {
    const at = concluded().keys('9');
    expect(at.view.message).not.toBeNull();
    expect(at.view.question?.kind).toBe('choose');
    at.keys('0');
    expect(at.view.question).toBeNull();
    expect(at.view.ask?.title).toContain('Probe proof, closing');
  });

  test('numbers mean nothing elsewhere', () => {
    const at = isolating();
    const entries = at.bench.entries.length;
    at.keys('0', '1');
    expect(at.bench.entries).toHaveLength(entries);
  });

  test('x puts a swapped unit on record after it was chosen; Escape does not', () => {
    const at = isolating().keys('x', down, escapeKey);
    expect(at.bench.kinds()).not.toContain('repair');
    at.keys('x', down, enter);
    expect(at.bench.state.job.repairs).toMatchObject([{ what: 'swap', unit: 'jack-board' }]);
  });

  test('e draws the conclusion now', () => {
    expect(isolating().keys('e').bench.kinds()).toContain('concluded');
  });

  test('c leads from the conclusion to a check', () => {
    const at = concluded().keys('c', enter);
    expect(at.view.check).not.toBeNull();
    expect(at.view.conclusion).toBeNull();
  });
});

test('a repaired job ends as such; what was concluded stands in sight until then', async () => {
  const at = repaired();
  at.bench.happen(make, captured(0.2), lift);
  expect(await see(at)).toContain('concluded: ');
  at.bench.touch(0.002).happen(make, captured(100), lift);
  expect(at.view.headline?.word).toBe('REPAIRED');
});
