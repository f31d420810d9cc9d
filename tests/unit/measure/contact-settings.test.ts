import { expect, test } from 'vitest';
import {
  contactSettingsProblem,
  defaultContactSettings,
  readingsInWindow,
  touchSettings,
} from '../../../src/measure/contact/contact-settings.ts';

test('the defaults are sound', () => {
  expect(contactSettingsProblem(defaultContactSettings)).toBeNull();
});

test.each([
  [{ dwellUs: -1 }, 'dwellUs'],
  [{ dwellUs: 10_000_001, unsteadyAfterUs: 20_000_000 }, 'dwellUs'],
  [{ liftUs: Number.NaN }, 'liftUs'],
  [{ windowUs: 0 }, 'windowUs'],
  [{ unsteadyAfterUs: 30_000 }, 'unsteadyAfterUs'],
  [{ makeBelow: 0.96 }, 'makeBelow'],
  [{ breakAbove: 1 }, 'breakAbove'],
])('%o is refused by name', (wrong, name) => {
  expect(contactSettingsProblem({ ...defaultContactSettings, ...wrong })).toContain(name);
});

test('a longer dwell is added to the time that a touch has to settle', () => {
  const usual = touchSettings({ dwellUs: undefined, seatSense: true });
  expect(usual).toEqual(defaultContactSettings);
  const long = touchSettings({ dwellUs: 1_500_000, seatSense: false });
  expect(long).toMatchObject({ dwellUs: 1_500_000, seatSense: false });
  expect(long.unsteadyAfterUs - long.dwellUs).toBe(usual.unsteadyAfterUs - usual.dwellUs);
  expect(contactSettingsProblem(long)).toBeNull();
});

test('a window has at least eight readings, and as many as its time holds', () => {
  expect(readingsInWindow(24_000, 884)).toBe(27);
  expect(readingsInWindow(24_000, 1768)).toBe(14);
  expect(readingsInWindow(1, 884)).toBe(8);
});
