import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Check, Guide } from '../../../src/guide/types.ts';
import { guideOrder, orderForFewSetups } from '../../../src/session/job/check-order.ts';
import { testGuide } from '../../support/dry-bench.ts';

const look = testGuide().checks.find(({ kind }) => kind === 'look')!;

/** A guide with checks like `on:open`, one for each word. */
function guideOf(states: string[]): Guide {
  const checks = states.map((state, i): Check => {
    const [power, access] = state.split(':') as ['on' | 'off', string | undefined];
    const { access: _, ...rest } = look;
    return { ...rest, id: `c${i}`, power, ...(access === undefined ? {} : { access }) } as Check;
  });
  return { ...testGuide(), checks };
}
const states = (guide: Guide, ids: string[]): string[] =>
  ids.map((id) => {
    const { power, access } = guide.checks.find((check) => check.id === id)!;
    return access === undefined ? power : `${power}:${access}`;
  });
const all = (guide: Guide): string[] => guide.checks.map(({ id }) => id);
const changes = (list: string[]): number => list.filter((state, i) => i > 0 && state !== list[i - 1]).length;

describe("the guide's order", () => {
  test('switches the device once in each state of disassembly, and keeps the order of those', () => {
    const guide = guideOf(['off', 'on', 'off', 'on:open', 'off:open', 'on:open', 'off']);
    expect(states(guide, guideOrder(guide, all(guide)))).toEqual([
      ...['off', 'off', 'on'],
      ...['on:open', 'on:open', 'off:open'],
      'off',
    ]);
  });

  test('leaves an order alone that switches no more than it must', () => {
    const guide = guideOf(['off', 'off:open', 'on:open', 'on']);
    expect(guideOrder(guide, all(guide))).toEqual(all(guide));
  });

  test('takes only the checks that were asked for', () => {
    const guide = guideOf(['off', 'on', 'off']);
    expect(guideOrder(guide, ['c2', 'c1'])).toEqual(['c1', 'c2']);
  });
});

const anyStates = fc.array(fc.constantFrom('on', 'off', 'on:open', 'off:open', 'on:apart', 'off:apart'), {
  maxLength: 14,
});

test('whatever the checks, none is lost, and the device is switched and opened no more often than in the order given', () => {
  fc.assert(
    fc.property(anyStates, (list) => {
      const guide = guideOf(list);
      for (const ordered of [
        guideOrder(guide, all(guide)),
        orderForFewSetups(guide, all(guide), { power: null, access: undefined }),
      ]) {
        expect([...ordered].sort()).toEqual(all(guide).sort());
        expect(changes(states(guide, ordered))).toBeLessThanOrEqual(changes(list));
      }
    }),
  );
});

test('what can be done as the device stands comes first', () => {
  const guide = guideOf(['off', 'on:open', 'on', 'off:open']);
  const ordered = orderForFewSetups(guide, all(guide), { power: 'off', access: 'open' });
  expect(states(guide, ordered).slice(0, 2)).toEqual(['off:open', 'on:open']);
  expect(changes(states(guide, ordered))).toBe(3);
});
