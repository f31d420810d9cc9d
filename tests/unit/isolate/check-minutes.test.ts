import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../../src/checks/guides.ts';
import { starterGuide } from '../../../src/cli/guides/starters/starter-guide.ts';
import { accessMinutes, checkMinutes } from '../../../src/isolate/next/check-minutes.ts';

const parsed = parseGuide(starterGuide, 'starter');
if (!parsed.ok) throw new Error('the starter guide is not good');
const { guide } = parsed;
const check = (id: string) => guide.checks.find((one) => one.id === id)!;

describe('minutes of a check', () => {
  test('are its own where nothing has to be switched or opened', () => {
    expect(checkMinutes(guide, check('left-spring'), { power: 'off', access: 'key-off' })).toBe(1);
  });

  test('count switching once, also while the state is not known', () => {
    expect(checkMinutes(guide, check('left-spring'), { power: 'on', access: 'key-off' })).toBe(2);
    expect(checkMinutes(guide, check('left-spring'), { power: null, access: 'key-off' })).toBe(2);
  });

  test('count the way from one state of disassembly to the other', () => {
    expect(accessMinutes(guide, null, 'key-off')).toBe(5);
    expect(accessMinutes(guide, undefined, 'key-off')).toBe(5);
    expect(accessMinutes(guide, 'cover-off', 'key-off')).toBe(2);
    expect(accessMinutes(guide, 'key-off', 'cover-off')).toBe(2);
    expect(accessMinutes(guide, 'key-off', null)).toBe(5);
    expect(accessMinutes(guide, 'key-off', 'key-off')).toBe(0);
  });

  test('go through the closed device where neither state is within the other', () => {
    const access = [
      { id: 'front', name: 'front off', minutes: 4, parts: ['dome'] },
      { id: 'back', name: 'back off', minutes: 6, parts: ['trace-a'] },
    ];
    expect(accessMinutes({ ...guide, access }, 'front', 'back')).toBe(10);
  });
});
