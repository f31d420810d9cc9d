import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../../src/checks/guides.ts';
import { checkKinds } from '../../../src/checks/registry.ts';
import { limitsText, withLimits } from '../../../src/guide/file/edit-limits.ts';
import type { Limits } from '../../../src/guide/types.ts';

const checksOf = (limits: string) => `# kept
guide: 1
id: lamp
title: Lamp   # kept too
device: { maker: Nobody, name: Lamp, kind: lamp }
revisions: { holds: [A] }
units: [{ id: wire, name: wire }]
ground: G
nodes: [G,   A]
pads: [{ id: P1, node: A, where: here }, { id: P2, node: G, where: there }]
links: [{ id: w, from: A, to: G, kind: trace, ohm: 1 ohm, unit: wire }]
checks:
  - id: wire      # odd spaces
    kind: resistance
    title: >-
      a title that is
      folded
    pads: [P1, P2]
    ${limits}
    prompt: Touch.
  - { id: again, kind: resistance, title: again, pads: [P2, P1], limits: max 9 ohm, prompt: Touch. }
`;

function edit(text: string, changes: Record<string, Limits>) {
  const parsed = parseGuide(text, 'lamp.yaml');
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return withLimits(text, parsed.guide, new Map(Object.entries(changes)), checkKinds);
}

const max: Limits = { quantity: 'resistance', max: 1.25 };

describe('limits are put into the text of a guide', () => {
  test.each([
    ['limits: max 2 ohm # why', 'limits: max 1.25 ohm # why'],
    ["limits: 'max 2 ohm'", "limits: 'max 1.25 ohm'"],
    ['limits: 0.5..2 ohm', 'limits: max 1.25 ohm'],
    ['limits: { max: 2 ohm }  # why', 'limits: { max: 1.25 ohm }  # why'],
    ['limits:\n      min: 0.5 ohm\n      max: 2 ohm', 'limits:\n      { max: 1.25 ohm }'],
  ])('%s', (before, after) => {
    expect(edit(checksOf(before), { wire: max })).toEqual({ ok: true, text: checksOf(after) });
  });

  test('of several checks at once', () => {
    const edited = edit(checksOf('limits: max 2 ohm'), {
      again: { quantity: 'resistance', min: 0.02, max: 3e6 },
      wire: max,
    });
    expect(edited).toEqual({
      ok: true,
      text: checksOf('limits: max 1.25 ohm').replace('limits: max 9 ohm', 'limits: 0.02 ohm..3 Mohm'),
    });
  });

  test('and refused where another place would change with them', () => {
    const shared = checksOf('limits: &l max 2 ohm').replace('limits: max 9 ohm', 'limits: *l');
    expect(edit(shared, { wire: max })).toMatchObject({ ok: false, check: 'wire' });
    expect(edit(shared, { again: max })).toMatchObject({ ok: false, check: 'again' });
    expect(edit(checksOf('limits: max 2 ohm'), { nowhere: max })).toMatchObject({ ok: false, check: 'nowhere' });
  });
});

test('writes limits as people do', () => {
  expect(limitsText({ quantity: 'resistance', min: 40e3, max: 62.5e3 })).toBe('40 kohm..62.5 kohm');
  expect(limitsText({ quantity: 'voltage', min: -0.05, max: 1.818 })).toBe('-0.05 V..1.818 V');
  expect(limitsText({ quantity: 'resistance', min: 5e6 })).toBe('min 5 Mohm');
  expect(limitsText({ quantity: 'resistance', max: 0.1 + 0.2 })).toBe('max 0.3 ohm');
});
