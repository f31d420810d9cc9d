import fc from 'fast-check';
import { createElement } from 'react';
import { describe, expect, test } from 'vitest';
import { BenchScreen } from '../../../src/faces/screen/job/bench-screen.tsx';
import type { Theme } from '../../../src/faces/screen/parts/theme.ts';
import { markText } from '../../../src/faces/screen/parts/theme.ts';
import type { JobView } from '../../../src/view/job/job-view.ts';
import { connected as connectedEvent, make } from '../../support/dry-bench.ts';
import { exampleGuide } from '../../support/example-guide.ts';
import { ascii, frameOf, seenOf, sizes, unicode } from '../../support/frames.ts';
import { runs } from '../../support/runs.ts';
import { DrySession, down, enter } from './scenes.ts';

const screen = (view: JobView, cols: number, rows: number, theme: Theme) =>
  seenOf(frameOf(createElement(BenchScreen, { view, cols, rows, theme }), cols), cols, rows);

const liveEvent = { type: 'contact', contact: { kind: 'live', tUs: 5, on: true } } as const;
const at = (check: string) => new DrySession().opened().choose(check);
const touching = (): DrySession => {
  const drySession = at('spring-a').read(0.31, 300);
  drySession.bench.happen(make, { kind: 'settling', tUs: 1, progress: 0.5 });
  return drySession;
};
const scenes: Record<string, () => DrySession> = {
  'before the probe is found': () => new DrySession(),
  'a caution': () => new DrySession().give(connectedEvent),
  'a look': () => new DrySession().opened(),
  'a touch asked for': () => at('spring-a'),
  'a touch settling': touching,
  'a pass': () => at('spring-a').hold(0.21),
  'a fail': () => at('spring-a').hold(2e7),
  'a log scale': () => at('key-released').hold(2e7),
  presses: () => at('key-presses'),
  'a voltage on the tips': () => at('spring-a').give(liveEvent),
  'a lost link': () => at('spring-a').give({ type: 'disconnected', why: 'the cable was pulled' }),
  'a pause': () => at('spring-a').keys('p'),
  'a reason being typed': () => at('spring-a').keys('sthe pad is gone'),
  'the list': () => at('spring-a').keys('c', down),
  help: () => at('spring-a').keys('?'),
  leaving: () => at('spring-a').keys('q'),
};

describe.each(Object.entries(scenes))('%s', (_name, scene) => {
  const { view } = scene();
  test.each(sizes)('fits %dx%d, in colourless Unicode and in ASCII', async (cols, rows) => {
    for (const theme of [unicode, ascii]) {
      const { lines, broken } = await screen(view, cols, rows, theme);
      expect(broken).toBe(0);
      expect(
        lines
          .slice(rows - 1)
          .join('')
          .trim(),
      ).toBe('');
      expect(lines[0]).toContain('Orrelby Works Wrenlet rev B');
      if (theme === ascii) expect(lines.join('')).toMatch(/^[\x20-\x7e]*$/);
    }
  });
});

describe.each([
  ['unicode', unicode],
  ['ascii', ascii],
] as const)('a person at 80x24 (%s)', (_name, theme) => {
  const see = async (drySession: DrySession) => (await screen(drySession.view, 80, 24, theme)).lines.join('\n');

  test('sees which pads to touch, where both are, and the power', async () => {
    const seen = await see(at('spring-a'));
    expect(seen).toContain('POWER OFF');
    expect(seen).toContain('Touch the two pads.');
    expect(seen).toContain('A: S1  jack board: crown of the left spring, cable');
    expect(seen).toContain('B: J1  jack board: test point beside the connector,');
    expect(seen).toContain('first from the corner');
    expect(seen).toContain('Lithium cell');
  });

  test('sees that the probe drifts, and nothing of it where it does not', async () => {
    const drifting = { ...connectedEvent, drift: 'DRIFTS: check resistor' } as typeof connectedEvent;
    expect(await see(new DrySession().give(drifting))).toContain('probe DRIFTS: `health`');
    expect(await see(new DrySession().give(connectedEvent))).not.toContain('DRIFTS');
  });

  test('sees an outcome as a word and a mark, in the list and beside the reading', async () => {
    const seen = await see(at('spring-a').hold(2e7));
    expect(seen).toContain(`${markText('now', theme)}${markText('fail', theme)} Left spring`);
    expect(seen).toContain('> 10 Mohm (open), wanted at most 0.6 ohm');
    expect(seen).toContain('on record');
    expect(seen).toContain('Lift the tips.');
  });

  test('sees the reading with unit and uncertainty, and the limit band with the needle in it', async () => {
    const seen = await see(at('spring-a').hold(0.21));
    expect(seen).toContain('ohm');
    expect(seen).toContain('+/- 0.010 ohm');
    expect(seen).toMatch(theme.unicode ? /┣━+▼━+┫/ : /\[=+V=+\]/);
    expect(seen).toContain('0.6 ohm');
  });

  test('sees a question with the keys that answer it', async () => {
    const seen = await see(new DrySession().opened());
    expect(seen).toContain('Are both pads bright, with no brown spots');
    expect(seen).toMatch(/y {2}yes +n {2}no +u {2}unsure/);
  });

  test('sees the name to type under a caution', async () => {
    const seen = await see(new DrySession().give(connectedEvent).keys('ce'));
    expect(seen).toContain(exampleGuide('field-recorder').cautions[0]!.text.slice(0, 40));
    expect(seen).toContain('type cell and Enter');
    expect(seen).toContain('> ce_');
  });

  test('sees that the link is lost and that the job is kept', async () => {
    const seen = await see(at('spring-a').give({ type: 'disconnected', why: 'the cable was pulled' }));
    expect(seen).toContain('NO PROBE');
    expect(seen).toContain('the cable was pulled. The job is kept');
  });

  test('sees a voltage on the tips even over the help', async () => {
    const seen = await see(at('spring-a').keys('?').give(liveEvent));
    expect(seen).toContain('LIVE  Voltage on the tips.');
    expect(seen).toContain('leave at once');
  });

  test('sees only keys that do something now', async () => {
    expect(await see(new DrySession())).not.toMatch(/r repeat|s skip|c choose|p pause/);
    const proving = new DrySession().give(connectedEvent);
    for (const { id } of proving.bench.state.guide.cautions) proving.keys(id, enter);
    expect(proving.view.check).toBeNull();
    expect(await see(proving)).toMatch(/w note {2}p pause/);
    expect(await see(at('spring-a'))).toMatch(/r repeat {2}s skip {2}w note {2}c choose/);
    expect(await see(at('spring-a').give({ type: 'disconnected', why: 'pulled' }))).not.toMatch(/r repeat|p pause/);
  });

  test('sees what is typed, to its end', async () => {
    expect(await see(at('spring-a').keys('sthe pad is gone'))).toContain('because: the pad is gone_');
    const long = `${'it was scraped off, '.repeat(9)}and is gone`;
    expect(await see(at('spring-a').keys(`s${long}`))).toContain('and is gone_');
    expect(await see(at('spring-a').keys(`w${long}`))).toMatch(/note: \.\.\S.*and is gone_/);
  });
});

test('a narrow screen keeps counts and cautions in one row', async () => {
  const { lines } = await screen(at('spring-a').view, 60, 16, unicode);
  expect(lines.join('\n')).toMatch(
    new RegExp(`0 pass, 0 fail of \\d+ {2}${markText('caution', unicode)} Lithium cell`),
  );
});

test.each([unicode, ascii])(
  'marks of a caution and of a doubtful row stand on the screen, unicode $unicode',
  async (theme) => {
    const { view } = at('spring-a').hold(0.21);
    const checks = view.checks.map((row) => ({ ...row, doubtful: row.id === 'spring-a' }));
    const drawn = async (shown: JobView) => (await screen(shown, 120, 40, theme)).lines.join('\n');
    const doubtful = markText('doubtful', theme);
    expect((await drawn({ ...view, checks })).split(doubtful)).toHaveLength(
      (await drawn(view)).split(doubtful).length + 1,
    );
    expect(await drawn(view)).toContain(`${markText('caution', theme)} Lithium cell`);
  },
);
test('the list is there on a narrow screen while a check is chosen', async () => {
  const { lines } = await screen(at('spring-a').keys('c', down).view, 60, 16, unicode);
  expect(lines.join('\n')).toContain('Right spring to the board connector');
});

test.each([
  [59, 24],
  [80, 15],
  [20, 5],
  [1, 1],
])('a terminal of %dx%d is told so in one line', async (cols, rows) => {
  const { lines, broken } = await screen(at('spring-a').view, cols, rows, unicode);
  expect(broken).toBe(0);
  expect(lines.slice(1).join('').trim()).toBe('');
  expect(`${cols}x${rows} is too small`.startsWith(lines[0]!.slice(0, 10).trim())).toBe(true);
});

/** Texts as guides, tickets and keyboards may bring them: long words, wide characters, control characters, escapes. */
const anyText = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 200 }),
  fc.string({
    unit: fc.constantFrom('検', '査', 'Ω', 'ä', '\n', '\t', '\u001b[2J', '\r', 'x', ' ', '\u0301'),
    maxLength: 200,
  }),
  fc.string({ unit: fc.constantFrom('m', 'W', '-'), minLength: 100, maxLength: 400 }),
);

test('a frame that is too wide or too high would be seen to be broken', async () => {
  expect((await seenOf('x'.repeat(81), 80, 24)).broken).toBe(1);
  expect((await seenOf('x\n'.repeat(24), 80, 24)).broken).toBe(1);
});

test('no text breaks the frame', async () => {
  const guide = new DrySession().bench.state.guide;
  await fc.assert(
    fc.asyncProperty(
      fc.array(anyText, { minLength: 8, maxLength: 8 }),
      fc.constantFrom(...sizes),
      fc.constantFrom(unicode, ascii),
      fc.constantFrom('look-pads', 'spring-a', 'key-presses'),
      async ([title, where, how, access, caution, maker, why, typed], [cols, rows], theme, check) => {
        const strange = {
          ...guide,
          device: { ...guide.device, maker: maker! },
          pads: guide.pads.map((pad) => ({ ...pad, where: where! })),
          access: guide.access.map((one) => ({ ...one, name: access! })),
          cautions: guide.cautions.map((one) => ({ ...one, title: caution!, text: how! })),
          checks: guide.checks.map((one) => ({ ...one, title: title!, prompt: how! })),
        };
        const drySession = new DrySession(strange).opened().choose(check).keys('w', { input: typed! });
        const views = [drySession.view, drySession.give({ type: 'disconnected', why: why! }).view];
        for (const view of views) {
          const { lines, broken } = await screen(view, cols, rows, theme);
          expect(broken).toBe(0);
          expect(
            lines
              .slice(rows - 1)
              .join('')
              .trim(),
          ).toBe('');
        }
      },
    ),
    { numRuns: runs(60) },
  );
}, 120_000);
