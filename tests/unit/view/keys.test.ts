import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { KeyPress } from '../../../src/view/job/keyboard.ts';
import { captured, connected, make, testGuide } from '../../support/dry-bench.ts';
import { runs } from '../../support/runs.ts';
import { DrySession, down, enter, escapeKey, up } from '../faces/scenes.ts';

const drySession = () => new DrySession(testGuide());
const backspace: KeyPress = { input: '', backspace: true };

describe('a caution', () => {
  test('is acknowledged by typing its name, and by nothing less', () => {
    const at = drySession().give(connected);
    at.keys('y', enter, enter, 'cel', enter);
    expect(at.bench.kinds()).not.toContain('caution');
    expect(at.view.message).not.toBeNull();
    at.keys('CELL', enter);
    expect(at.bench.entries.at(-1)).toMatchObject({ kind: 'caution', id: 'cell', by: 'person' });
    expect(at.view.question).toMatchObject({ kind: 'caution', id: 'live', named: '' });
  });

  test('that is refused ends the job', () => {
    const at = drySession().give(connected).keys('no', enter);
    expect(at.view.phase).toBe('closed');
    expect(at.bench.kinds()).not.toContain('caution');
  });

  test('is typed with letters that are keys elsewhere; Escape clears, then asks about leaving', () => {
    const at = drySession().give(connected).keys('qs');
    expect(at.view.question).toMatchObject({ named: 'qs' });
    at.keys(backspace);
    expect(at.view.question).toMatchObject({ named: 'q' });
    at.keys(escapeKey, escapeKey);
    expect(at.view.leaving).toBe(true);
    at.keys('x');
    expect(at.left).toBe(false);
  });
});

describe('answers', () => {
  test('go to the question on the screen', () => {
    const at = drySession().opened();
    at.bench.touch(0.2);
    expect(at.view.question).toMatchObject({ kind: 'look', text: 'Clean?' });
    at.keys('u');
    expect(at.bench.state.job.checks.eyes?.outcome).toBe('borderline');
  });

  test('to nothing are said to be so, and store nothing', () => {
    const at = drySession().opened();
    const entries = at.bench.entries.length;
    at.keys('y');
    expect(at.view.message).not.toBeNull();
    expect(at.bench.entries).toHaveLength(entries);
  });
});

describe('b, back', () => {
  test('does the check once more that was done last, not the one that has come up', () => {
    const at = drySession().opened();
    at.bench.touch(0.2);
    const next = at.view.check;
    at.keys('b');
    expect(at.bench.entries.at(-1)).toMatchObject({ kind: 'repeat', check: 'path', by: 'person' });
    expect(at.view.check).toBe('path');
    expect(next).not.toBe('path');
  });

  test('before the first check says so, and stores nothing', () => {
    const at = drySession().opened();
    const entries = at.bench.entries.length;
    at.keys('b');
    expect(at.view.message).not.toBeNull();
    expect(at.bench.entries).toHaveLength(entries);
  });
});

describe('a skip', () => {
  test('takes its reason as it is typed', () => {
    const at = drySession().opened().keys('sno powex', backspace, 'r', enter);
    expect(at.bench.state.job.checks.path?.skipped).toMatchObject({ reason: 'no power', by: 'person' });
    expect(at.view.line).toBeNull();
  });

  test('needs a reason', () => {
    const at = drySession().opened().keys('s  ', enter);
    expect(at.bench.kinds()).not.toContain('skipped');
    expect(at.view.line).not.toBeNull();
    at.keys(escapeKey);
    expect(at.view.line).toBeNull();
  });

  test('skips nothing when the bench went on while the reason was typed', () => {
    const at = drySession().opened().keys('sslow');
    at.bench.touch(0.2);
    at.keys(enter);
    expect(at.bench.kinds()).not.toContain('skipped');
    expect(at.view.message).not.toBeNull();
  });
});

test('a note goes into the record; an empty one does not', () => {
  const at = drySession().opened().keys('wcorrosion\tat P', enter, 'w', enter);
  expect(at.bench.state.job.notes.map((note) => note.text)).toEqual(['corrosionat P']);
});

test('a pasted text enters a line whole, without what can not stand in one', () => {
  const at = drySession().opened().keys('w', { input: 'two\nlines\u001b[31m' });
  expect(at.view.line?.text).toBe('twolines[31m');
});

test('r repeats the check in hand', () => {
  const at = drySession().opened();
  at.bench.happen(make, captured(5));
  at.keys('r');
  expect(at.bench.state.job.checks.path?.outcome).toBeNull();
});

describe('the list', () => {
  test('leads to a check', () => {
    const at = drySession().opened().keys('c', down, down, enter);
    expect(at.view.check).toBe('idle');
    expect(at.view.cursor).toBeNull();
  });

  test('stops at both ends, and Escape leaves it', () => {
    const at = drySession().opened().keys(up, up, up);
    expect(at.view.cursor).toBe('path');
    at.keys(down, down, down, down, down);
    expect(at.view.cursor).toBe('idle');
    at.keys(escapeKey);
    expect(at.view.cursor).toBeNull();
    expect(at.view.check).toBe('path');
  });

  test('does not open before the probe is proved', () => {
    const at = drySession().give(connected).keys('cell', enter, 'live', enter, 'c');
    expect(at.view.cursor).toBeNull();
    expect(at.view.message).not.toBeNull();
  });
});

describe('abandoning a job', () => {
  test('takes a typed reason, closes the record with it, and leaves', () => {
    const at = drySession().opened().keys('aboard is cracked', enter);
    expect(at.left).toBe(true);
    expect(at.bench.state).toMatchObject({ phase: 'closed', ending: { kind: 'abandoned', why: 'board is cracked' } });
    expect(at.bench.entries.at(-1)).toMatchObject({ kind: 'closed', result: 'abandoned', why: 'board is cracked' });
    expect(at.bench.state.job.result).toBe('abandoned');
  });

  test('without a reason, by Esc, or before a probe was found, abandons nothing', () => {
    const at = drySession().opened().keys('a  ', enter, escapeKey);
    expect(at.bench.state.phase).toBe('running');
    const early = drySession().keys('a');
    expect(early.ui.mode).toBe('plain');
    expect(early.give({ type: 'abandon', reason: 'no probe' }).bench.state.phase).toBe('opening');
  });
});

test('p pauses and goes on', () => {
  const at = drySession().opened().keys('p');
  expect(at.view).toMatchObject({ paused: true, headline: { word: 'PAUSED' } });
  at.keys('p');
  expect(at.view.paused).toBe(false);
});

describe('leaving', () => {
  test('is asked about once, and leaves the job open', () => {
    const at = drySession().opened().keys('q');
    expect([at.left, at.view.leaving]).toEqual([false, true]);
    at.keys('y');
    expect(at.left).toBe(true);
    expect(at.bench.state.phase).toBe('left');
    expect(at.bench.kinds()).not.toContain('closed');
  });

  test.each(['s', 'c', '?', 'q', 'w'])('goes at once with Ctrl-C, whatever %s began', (key) => {
    const at = drySession().opened().keys(key, { input: 'c', ctrl: true });
    expect(at.left).toBe(true);
  });
});

test('the help shows every key that does something, ? turns its pages, and any other key closes it', () => {
  const at = drySession().opened().keys('?');
  const sections = at.view.help?.sections ?? [];
  const keys = sections.flatMap((section) => ('pairs' in section ? section.pairs.map(([key]) => key) : [])).join(' ');
  for (const key of ['y', 'n', 'u', 'r', 's', 'w', 'c', 'e', 'x', 'p', 'q', '?']) expect(keys).toContain(key);
  expect(at.keys('??').view.help?.page).toBe(2);
  at.keys('q');
  expect(at.view.help).toBeNull();
  expect(at.keys('?').view.help?.page).toBe(0);
  at.keys('q');
  expect(at.view.leaving).toBe(false);
});

test('whatever is typed, no evidence appears that was not measured', () => {
  const key = fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 3 }).map((input): KeyPress => ({ input })),
    fc.constantFrom(...'ynurswcpex01?qkj'.split('')).map((input): KeyPress => ({ input })),
    fc.constantFrom(enter, escapeKey, up, down, backspace),
  );
  fc.assert(
    fc.property(fc.array(key, { maxLength: 40 }), (keys) => {
      const at = drySession()
        .opened()
        .keys(...keys);
      expect(at.bench.kinds()).not.toContain('capture');
      expect(at.view.line?.text ?? '').not.toMatch(/\p{Cc}/u);
    }),
    { numRuns: runs(100) },
  );
});
