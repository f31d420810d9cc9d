import { describe, expect, test } from 'vitest';
import type { Guide } from '../../../../src/guide/types.ts';
import type { Prompt } from '../../../../src/ports/prompt.ts';
import { orders, promptLines, promptShort, standardOrder } from '../../../../src/view/words/prompt.ts';
import { recorderGuide } from '../../faces/scenes.ts';

const guide: Guide = recorderGuide();

/** Every act, with what a task sends beside it. An act that is added is a type error until it stands here. */
const prompts: Record<Prompt['act'], Omit<Prompt, 'id' | 'act'>[]> = {
  touch: guide.checks.filter(({ kind }) => kind !== 'look').map(({ id }) => ({ check: id })),
  press: [{ check: 'key-presses', key: guide.keys[0]!.id }],
  flex: [{ check: 'flexing' }],
  lift: [{}, { why: 'live' }],
  'short-tips': [{}],
  wait: [{ why: 'standing' }, { why: 'light', told: 'it conducted' }, { why: 'check-resistor' }],
  power: [{ power: 'on' }, { power: 'off' }],
  answer: [
    { check: 'look-pads', question: 'Bright?' },
    { caution: 'cell', question: 'understood: cell?' },
    { check: 'bridge-main', question: 'Did it start?', told: 'it conducted' },
  ],
  choose: [{ options: ['clean', 'new-key'] }],
  repair: [{ repair: 'clean' }],
};

describe.each(Object.entries(prompts) as [Prompt['act'], Omit<Prompt, 'id' | 'act'>[]][])('%s', (act, all) => {
  test.each(all.map((data) => [JSON.stringify(data), data] as const))('%s has words', (_name, data) => {
    const lines = promptLines({ act, ...data }, guide);
    expect(lines.length).toBeGreaterThan(0);
    for (const line of lines) expect(line.trim()).not.toBe('');
    expect(lines.join('')).not.toMatch(/undefined|null/);
  });

  test.each(all.map((data) => [JSON.stringify(data), data] as const))('%s has a short form', (_name, data) => {
    const short = promptShort({ act, ...data }, guide);
    expect(short).toMatch(/^\S.*\.$/);
    expect(short).not.toMatch(/undefined|null/);
    // beside `POWER OFF` in the left part of an 80x24 screen
    expect(short.length).toBeLessThanOrEqual(act === 'power' ? 50 : 44);
  });
});

test('a touch that has to stay steady for longer says for how long', () => {
  const checks = guide.checks.map((check) => (check.id === 'spring-a' ? { ...check, dwellMs: 1500 } : check));
  const lines = promptLines({ act: 'touch', check: 'spring-a' }, { ...guide, checks });
  expect(lines).toContain('Hold still for 1.5 s.');
});

test('a touch names both pads with their places', () => {
  const lines = promptLines({ act: 'touch', check: 'spring-a' }, guide);
  expect(lines).toContain('Tip A: S1 (jack board: crown of the left spring, cable to you)');
  expect(lines.find((line) => line.startsWith('Tip B: J1'))).toBeDefined();
});

test('repairs are numbered as they are chosen', () => {
  const lines = promptLines({ act: 'choose', options: ['clean', 'new-key'] }, guide);
  expect(lines[1]).toMatch(/^repair 1: clean/);
  expect(lines[2]).toMatch(/^repair 2: fit a new key unit/);
});

test('a voltage, a switched-off device and lifted tips are told in one wording', () => {
  expect(promptLines({ act: 'lift', why: 'live' }, guide)).toEqual([orders.live]);
  expect(promptLines({ act: 'lift' }, guide)).toEqual([orders.lift]);
  expect(standardOrder({ act: 'lift' }, '')).toBe(orders.lift);
  expect(orders.live).toMatch(/disconnect its battery/);
});

test('standards are asked for in words of their own', () => {
  const told = [
    standardOrder({ act: 'short-tips' }, ''),
    standardOrder({ act: 'touch' }, '470 ohm'),
    standardOrder({ act: 'wait', why: 'next-standard' }, ''),
    standardOrder({ act: 'wait', why: 'open' }, ''),
    standardOrder({ act: 'wait', why: 'check-resistor' }, ''),
  ];
  expect(new Set(told).size).toBe(told.length);
  expect(told[1]).toContain('470 ohm');
});
