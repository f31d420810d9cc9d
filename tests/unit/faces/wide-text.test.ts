import { createElement } from 'react';
import { describe, expect, test } from 'vitest';
import { BenchScreen } from '../../../src/faces/screen/job/bench-screen.tsx';
import type { Guide } from '../../../src/guide/types.ts';
import { captured, lift, make } from '../../support/dry-bench.ts';
import { frameOf, seenOf, sizes, unicode } from '../../support/frames.ts';
import { DrySession, recorderGuide } from './scenes.ts';

/** A title of 15 characters that a terminal shows in 30 columns. */
const title = '左のばねから基板コネクタまでの';

/** The example guide, with wide characters wherever a panel cuts a text. */
function wideGuide(): Guide {
  const guide = recorderGuide();
  return {
    ...guide,
    units: guide.units.map((unit) => ({ ...unit, name: `交換できる部品${unit.name}` })),
    repairs: guide.repairs.map((repair) => ({ ...repair, name: `部品を新しいものに交換する${repair.name}` })),
    pads: guide.pads.map((pad) => ({ ...pad, where: `基板の左上の角にある丸い点${pad.where}` })),
    checks: guide.checks.map((check) => ({
      ...check,
      title,
      prompt: `両方の点に同時に触れてください。${check.prompt}`,
    })),
  };
}

const screens: Record<string, () => DrySession> = {
  'a touch asked for': () => new DrySession(wideGuide()).opened().choose('spring-a'),
  'an outcome': () => new DrySession(wideGuide()).opened().choose('spring-a').hold(2e7),
  'the last result': () => {
    const at = new DrySession(wideGuide()).opened().choose('spring-a');
    at.bench.happen(make, captured(2e7), lift);
    return at;
  },
};

describe.each(Object.entries(screens))('%s in wide characters', (_name, scene) => {
  test.each(sizes)('keeps its frame at %dx%d, and its words', async (cols, rows) => {
    const { view } = scene();
    const frame = frameOf(createElement(BenchScreen, { view, cols, rows, theme: unicode }), cols);
    const { lines, broken } = await seenOf(frame, cols, rows);
    expect(broken).toBe(0);
    expect(
      lines
        .slice(rows - 1)
        .join('')
        .trim(),
    ).toBe('');
    expect(lines.join('')).toContain(title.slice(0, 6));
    // no half of a wide character is left over
    expect(lines.join('')).not.toContain('\ufffd');
  });
});
