import { describe, expect, test } from 'vitest';
import { plainLine } from '../../../src/view/text/plain-line.ts';
import { readingParts } from '../../../src/view/words/reading.ts';
import { captured, connected, lift, make, testGuide } from '../../support/dry-bench.ts';
import { DrySession } from '../faces/scenes.ts';

const drySession = () => new DrySession(testGuide());

describe('the ask', () => {
  test('names the pads, each with its tip and place, and the power that the check needs', () => {
    expect(drySession().opened().view.ask).toMatchObject({
      title: 'Path',
      pads: [
        { tip: 'A', pad: 'P', where: 'left' },
        { tip: 'B', pad: 'Q', where: 'right' },
      ],
      power: { to: 'off', change: true },
      retry: null,
    });
  });

  test('tells a change of power from one check to the next', () => {
    const at = drySession().opened();
    at.bench.touch(0.2);
    expect(at.view.ask?.power).toEqual({ to: 'off', change: false });
    at.keys('y');
    expect(at.view.ask?.power).toEqual({ to: 'on', change: true });
  });

  test('tells the change no more once the tips have been on the pads, nor at the second try', () => {
    const at = drySession().opened();
    at.bench.happen(make);
    expect(at.view.ask?.power).toEqual({ to: 'off', change: false });
    const again = drySession().opened();
    again.bench.touch(1);
    expect(again.view.ask).toMatchObject({ retry: { n: 2 }, power: { to: 'off', change: false } });
  });

  test('counts tries from the second on', () => {
    const at = drySession().opened();
    at.bench.touch(1);
    expect(at.view.ask?.retry).toEqual({ n: 2, of: 3 });
  });

  test('asks for nothing without a probe or while paused', () => {
    const lost = drySession().opened().give({ type: 'disconnected', why: 'unplugged' });
    expect(lost.view.ask?.action).toBe('');
    expect(drySession().opened().keys('p').view.ask?.action).toBe('');
  });

  test('counts presses, and tells an open path between them from settling', () => {
    const at = new DrySession().opened().choose('key-presses').read(2e7, 100);
    at.bench.happen(make);
    expect(at.view.ask?.presses).toEqual({ done: 0, of: 20 });
    expect(at.view.contact).toMatchObject({ text: 'path open', settling: false });
  });
});

describe('the outcome', () => {
  test('is held with its reading until the tips lift, whatever the tips read meanwhile', () => {
    const at = drySession().opened().hold(0.2).read(0.9, 300);
    expect(at.view.headline).toMatchObject({ word: 'PASS', mark: 'pass' });
    expect(at.view.reading).toMatchObject({ held: true, unit: 'ohm' });
    expect(Number(at.view.reading.number)).toBeCloseTo(0.2, 1);
    expect(at.view.contact).toMatchObject({ text: 'captured', progress: 1 });
    at.lift();
    expect(at.view.headline).toBeNull();
    expect(at.view.reading.held).toBe(false);
  });

  test('of the last check stays in sight after the lift', () => {
    const at = drySession().opened().hold(5);
    at.lift();
    expect(at.view.last).toMatchObject({ title: 'Path', outcome: 'fail' });
    expect(at.view.checks[0]).toMatchObject({ id: 'path', outcome: 'fail', attempts: 1, current: false });
  });

  test('of a proof is shown like any other', () => {
    const at = drySession()
      .give(connected)
      .keys('cell', { input: '', return: true }, 'live', { input: '', return: true });
    at.bench.happen(make, captured(4));
    expect(at.view.headline).toMatchObject({ word: 'FAIL' });
  });
});

describe('trouble', () => {
  test('is said at once: a voltage on the tips outshines the outcome', () => {
    const at = drySession().opened().hold(0.2);
    at.bench.happen({ kind: 'live', tUs: 5, on: true });
    expect(at.view.headline).toMatchObject({ word: 'LIVE', tone: 'danger' });
  });

  test('of the link says what, and keeps the job', () => {
    const why = 'the cable was pulled';
    const at = drySession().opened().give({ type: 'disconnected', why });
    expect(at.view.headline?.text).toContain(why);
    expect(at.view.link.ok).toBe(false);
    expect(at.view.trace).toEqual([]);
    expect(at.view.reading.number).toBe('---');
  });
});

describe('the reading', () => {
  test('runs with the tips, on the scale of the check', () => {
    const at = drySession().opened().read(0.5, 200);
    expect(at.view.reading).toMatchObject({ held: false, unit: 'ohm' });
    expect(at.view.scale?.needle?.at).toBeCloseTo(0.5 / (at.view.scale?.scale.to ?? 1), 1);
    expect(at.view.scale?.limits).toEqual({ quantity: 'resistance', max: 1 });
  });

  test('is none with the tips in the air, and off the scale for an open', () => {
    const at = drySession().opened().air();
    expect(at.view.reading.number).toBe('---');
    expect(at.view.scale?.needle).toBeNull();
    at.read(2e7, 200);
    expect(at.view.reading).toMatchObject({ number: '> 10', unit: 'Mohm', beside: 'open' });
    expect(at.view.scale?.needle).toEqual({ at: 1, off: 'high' });
  });

  test.each([
    ['in-range', 0.4321, 0.03, { number: '0.43', unit: 'ohm', beside: '+/- 0.06 ohm' }],
    ['below-range', -1, 0.1, { number: '< 0', unit: 'ohm', beside: 'below range' }],
    ['unreadable', 0, 1, { number: '---', unit: '', beside: '' }],
  ] as const)('that is %s is taken apart as it is written', (state, value, u, parts) => {
    const reading = { quantity: 'resistance', value, u, dof: 1e6, state, rangeEnd: 10 } as const;
    expect(readingParts({ ...reading, parts: [] })).toEqual(parts);
  });
});

test('cautions are those for the state that the device is in now', () => {
  const at = new DrySession().opened();
  const shown = (check: string) => {
    at.choose(check);
    return at.view.cautions.map(({ id }) => id);
  };
  expect(shown('spring-a')).toEqual(['cell', 'static']);
  expect(shown('supply')).toEqual(['cell', 'live', 'static']);
});

test('a finished job says what it came to, and asks for nothing', () => {
  const at = drySession().opened();
  at.bench.touch(0.2);
  at.keys('y').keys('sno power', { input: '', return: true });
  at.bench.touch(0.002).happen(make, captured(100), lift);
  expect(at.view.phase).toBe('closed');
  expect(at.view.ask).toBeNull();
  expect(at.view.headline?.word).toBe('INCONCLUSIVE');
});

test('texts become one line without control characters', () => {
  expect(plainLine(' two\nlines \u001b[31mred\u0007 a\u202eb \ud800')).toBe('two lines [31mred a b');
});
