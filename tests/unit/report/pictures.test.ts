import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test } from 'vitest';
import { checkKinds } from '../../../src/checks/registry.ts';
import { loadGuide } from '../../../src/guide/file/load.ts';
import type { Link } from '../../../src/guide/types.ts';
import { decisionOf } from '../../../src/isolate/suspects/suspects.ts';
import type { Entry } from '../../../src/record/entries/entries.ts';
import { emptyJob } from '../../../src/record/state/fold.ts';
import { LimitPicture } from '../../../src/report/paper/drawn/limit-picture.tsx';
import { pathOf } from '../../../src/report/pictures/device-path.ts';
import type { CheckLine } from '../../../src/report/report-data.ts';
import type { BeliefAfter } from '../../../src/verify/conclusions/believed.ts';

const numberIn = (svg: string, attribute: string): number =>
  Number(new RegExp(` ${attribute}="([^"]+)"`).exec(svg)?.[1]);

describe('the picture of a reading on its limits', () => {
  test('puts the geometric mean of two limits in the middle of their band: ohms are on a logarithmic scale', () => {
    const shown = { value: 10, expanded: 0.1, state: 'in-range', quantity: 'resistance', text: '10 ohm' } as const;
    const check: CheckLine = {
      id: 'a',
      title: 'a',
      kind: 'resistance',
      pads: '',
      limits: { quantity: 'resistance', min: 1, max: 100 },
      limitsText: '',
      before: { outcome: 'pass', shown, why: '', n: 1 },
      after: null,
      open: null,
      doubtful: false,
    };
    const svg = renderToStaticMarkup(LimitPicture({ check }));
    const band = /<rect[^>]*>/.exec(svg)![0];
    const middle = numberIn(band, 'x') + numberIn(band, 'width') / 2;
    expect(numberIn(/<circle[^>]*>/.exec(svg)![0], 'cx')).toBeCloseTo(middle, 6);
  });
});

describe("the device's path", () => {
  test('is at fault where a contact is concluded, in whichever order the guide names its two units', async () => {
    const { guide: written } = await loadGuide('examples/field-recorder.yaml', checkKinds);
    const turned = (link: Link): Link =>
      link.between === undefined ? link : { ...link, between: [link.between[1], link.between[0]] };
    for (const guide of [written, { ...written, links: written.links.map(turned) }]) {
      const id = decisionOf(guide, guide.links.find((link) => link.id === 'cell-plug')!);
      const decisions = [{ id, name: id, p: 0.98 }];
      const entry = { kind: 'concluded', n: 9, conclusion: 'fault', decisions } as unknown as Entry;
      const believed = { n: 9, entry, belief: { decisions } } as unknown as BeliefAfter;
      const faulty = pathOf(guide, emptyJob(), [entry], [believed]).filter(({ state }) => state === 'at-fault');
      expect(faulty.map((part) => part.links)).toEqual([['cell-plug']]);
    }
  });

  test('does not call a place cleared that the conclusion left out, as long as it is believed in', async () => {
    const { guide } = await loadGuide('examples/field-recorder.yaml', checkKinds);
    const [leading, other, third] = guide.units.map(({ id }) => id) as [string, string, string];
    const named = (id: string, p: number) => ({ id, name: id, p });
    const entry = {
      kind: 'concluded',
      n: 9,
      conclusion: 'fault',
      decisions: [{ id: leading, name: leading, p: 0.9 }],
    } as unknown as Entry;
    const belief = { decisions: [named(leading, 0.9), named(other, 0.07), named(third, 0.03)] };
    const parts = pathOf(guide, emptyJob(), [entry], [{ n: 9, entry, belief } as unknown as BeliefAfter]);
    const stateOf = (id: string) => parts.find((part) => part.id === id)?.state;
    expect([leading, other, third].map(stateOf)).toEqual(['at-fault', 'suspect', 'unknown']);
    expect(parts.find(({ kind }) => kind === 'interface')?.state).toBe('cleared');
  });
});
