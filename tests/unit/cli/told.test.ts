import { describe, expect, test } from 'vitest';
import { PlainReporter } from '../../../src/faces/lines/plain-reporter.ts';
import { parseTyped } from '../../../src/faces/lines/typed-line.ts';
import { noReadings } from '../../../src/session/engine/recent-readings.ts';
import type { JobSessionState } from '../../../src/session/job/job-session-state.ts';
import { jobView } from '../../../src/view/job/job-view.ts';
import { freshUi } from '../../../src/view/job/keyboard.ts';
import { toldView } from '../../../src/view/job/told.ts';
import { captured, lift, make, testGuide } from '../../support/dry-bench.ts';
import { DrySession } from '../faces/scenes.ts';
import { madeIsolator } from '../session/made-isolator.ts';

/** A session told in plain lines. */
function told(order: string[]) {
  const lines: string[] = [];
  const reporter = new PlainReporter((line) => lines.push(line));
  const { isolator } = madeIsolator(order);
  const { bench } = new DrySession(testGuide(), {
    isolator,
    settings: { order: 'information' },
    onState: (state) => reporter.view(toldView(state)),
  }).opened();
  return { bench, lines };
}

describe('plain lines', () => {
  test('say why a check comes next, once, and what is likely after each outcome', () => {
    const { bench, lines } = told(['path', 'eyes']);
    expect(lines.filter((line) => line === 'next: Path, because it parts path from the rest')).toHaveLength(1);
    bench.touch(0.2);
    expect(lines).toContain('  likely: nothing is wrong 98 %, key unit 2 %');
    expect(lines).toContain('next: Pads, because it parts eyes from the rest');
  });

  test('tell the conclusion with its reasons, its plan and what was not tested', () => {
    const { bench, lines } = told(['path']);
    bench.touch(5);
    const text = lines.join('\n');
    expect(text).toMatch(/Conclusion: a fault was found\.\n {2}97 % key unit\n {2}- the path between P and Q is open/);
    expect(text).toMatch(/repair 1: fit a new key unit \(90 % that it helps; 5\.00, 5 min\)/);
    expect(text).toMatch(/not tested: Pads; Idle/);
  });

  test('put before beside after', () => {
    const { bench, lines } = told(['path']);
    bench
      .touch(5)
      .give({ type: 'choose', repair: 'fit', by: 'person' })
      .answer('yes')
      .happen(make, captured(0.2), lift);
    expect(lines).toContainEqual(expect.stringMatching(/^repair done: fit a new key unit/));
    expect(lines).toContainEqual(expect.stringMatching(/^again: Path; before the repair fail, 5/));
    expect(lines).toContain('Conclusion: nothing is wrong any more.');
  });
});

const viewOf = (state: JobSessionState) => jobView(state, noReadings(), freshUi());

describe('a typed line', () => {
  const asked = () => viewOf(told(['path']).bench.touch(5).state);

  test('chooses a repair by its number or its name, or none, and only when that is asked', () => {
    const fit = { type: 'choose', repair: 'fit', by: 'person' };
    expect(parseTyped('repair 1', asked())).toEqual(fit);
    expect(parseTyped('repair fit', asked())).toEqual(fit);
    expect(parseTyped('none', asked())).toEqual({ ...fit, repair: null });
    expect(parseTyped('repair none', asked())).toEqual({ ...fit, repair: null });
    expect(parseTyped('repair 2', asked())).toBeNull();
    expect(parseTyped('repair pray', asked())).toBeNull();
    const view = viewOf(told(['path']).bench.state);
    expect(['repair 1', 'none'].map((line) => parseTyped(line, view))).toEqual([null, null]);
  });

  test('goes to a check, puts down a swapped unit, and knows both by their ids only', () => {
    const view = viewOf(told(['path']).bench.state);
    expect(parseTyped('check idle', view)).toEqual({ type: 'jump', check: 'idle' });
    expect(parseTyped('swapped key', view)).toEqual({ type: 'swapped', unit: 'key', by: 'person' });
    expect(['check nothing', 'swapped sail', 'check'].map((line) => parseTyped(line, view))).toEqual([
      null,
      null,
      null,
    ]);
  });

  test('says that a repair is done', () => {
    const { bench } = told(['path']);
    const view = viewOf(bench.touch(5).give({ type: 'choose', repair: 'fit', by: 'person' }).state);
    expect(parseTyped('yes', view)).toMatchObject({ type: 'answer', answer: 'yes', by: 'person' });
  });
});
