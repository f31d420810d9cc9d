import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import { predictChecks } from '../../../src/checks/guides.ts';
import { linkKinds } from '../../../src/guide/circuit/link-kinds.ts';
import { standardCautions } from '../../../src/guide/short/standard-cautions.ts';
import { exampleGuide, exampleNames, exampleText, guideOf, problemsOf } from '../../support/example-guide.ts';

const longText = (name: string): string =>
  readFileSync(new URL(`../../fixtures/guides/${name}.yaml`, import.meta.url), 'utf8');
const linesOf = (text: string): number => text.trimEnd().split('\n').length;

/** A lamp with a key on a spring: the smallest table with a joint, a key and a supply. */
const lamp = {
  guide: 1,
  id: 'lamp',
  title: 'A lamp',
  device: { maker: 'Nobody', name: 'Lamp', kind: 'lamp' },
  revisions: { holds: ['A'] },
  units: [
    { id: 'top', name: 'top' },
    { id: 'board', name: 'board' },
  ],
  joints: { 'top/board': 'spring' } as Record<string, string>,
  ground: 'g' as string | undefined,
  lines: { a: { top: 'T1', board: 'S1 B1' }, g: { top: 'T2', board: 'S2 B2' } } as Record<string, object>,
  pads: { T1: 't1', T2: 't2', S1: 's1', S2: 's2', B1: 'b1', B2: 'b2' } as Record<string, unknown>,
  keys: [{ id: 'k', joins: ['a', 'g'], in: 'top' }] as object[],
  behind: { B1: { load: '47k' } } as object,
  near: {} as object,
  access: [{ id: 'open', name: 'open', minutes: 2, open: ['top/board'] }] as object[],
  links: [] as object[],
  cautions: [] as object[],
  checks: [{ id: 'c', pads: ['B1', 'B2'], pressed: ['k'] }] as object[],
};
const lampWith = (change: Partial<typeof lamp>): string => stringify({ ...lamp, ...change });
const codesOf = (change: Partial<typeof lamp>): string[] => problemsOf(lampWith(change)).map(({ code }) => code);

describe.each(exampleNames)('%s in the short form', (name) => {
  const short = exampleGuide(name);
  const long = guideOf(longText(name));

  test('has at most 35 % of the lines of the long form', () => {
    expect(linesOf(exampleText(name)) / linesOf(longText(name))).toBeLessThanOrEqual(0.35);
  });

  test('has the same links, and the same way to fail for each', () => {
    const told = (guide: typeof long) =>
      Object.fromEntries(
        guide.links.map(({ id, kind, ohm, spread, unit, between, weights, normally }) => [
          id,
          { kind, ohm, spread, unit, between: between?.toSorted(), weights, normally },
        ]),
      );
    expect(told(short)).toEqual(told(long));
  });

  test.each(['open', 'high'] as const)('predicts the same for each link, healthy and %s', (mode) => {
    for (const faults of [[], ...long.links.map(({ id }) => [{ link: id, mode }])]) {
      const ofShort = predictChecks(short, { faults });
      predictChecks(long, { faults }).forEach((one, at) => {
        const other = ofShort[at]!;
        expect({ ...other, predicted: null, spread: 0 }).toEqual({ ...one, predicted: null, spread: 0 });
        for (const [quantity, value] of Object.entries(one.predicted)) {
          const same = (other.predicted as Record<string, unknown>)[quantity];
          if (typeof value === 'number')
            expect(same).toBeCloseTo(value, 9 - Math.ceil(Math.log10(1 + Math.abs(value))));
          else expect(same).toBe(value);
        }
      });
    }
  });
});

describe('what the table says', () => {
  const guide = guideOf(lampWith({}));

  test('a joint lies between two units, a trace inside one, a switch between the lines of a key', () => {
    expect(guide.links.map(({ id, from, to, kind, unit }) => [id, from, to, kind, unit])).toEqual([
      ['spring-a-top-board', 'T1', 'S1', 'spring', null],
      ['trace-a-board', 'S1', 'B1', 'trace', 'board'],
      ['spring-g-top-board', 'T2', 'S2', 'spring', null],
      ['trace-g-board', 'S2', 'B2', 'trace', 'board'],
      ['switch-k', 'T1', 'T2', 'switch', 'top'],
      ['load-B1', 'B1', 'B2', 'resistor', 'board'],
    ]);
  });

  test('a link without a value has that of its kind', () => {
    for (const { kind, ohm, spread, id } of guide.links) {
      expect(spread).toBeCloseTo(linkKinds[kind].usual.spread, 12);
      if (id !== 'load-B1') expect(ohm).toBe(linkKinds[kind].usual.ohm);
    }
  });

  test('an open joint takes its links apart, and only then its faces are reached', () => {
    expect(guide.access[0]!.parts).toEqual(['spring-a-top-board', 'spring-g-top-board']);
    const reach = Object.fromEntries(guide.pads.map((pad) => [pad.id, pad.in]));
    expect(reach).toMatchObject({ T1: ['open'], S2: ['open'], B1: undefined });
  });

  test('between a connector and a pad lies a trace, unless the pad stands at it', () => {
    const ids = (cell: string): string[] =>
      guideOf(
        lampWith({ joints: { 'top/board': 'connector' }, lines: { ...lamp.lines, a: { top: 'T1/', board: cell } } }),
      )
        .links.map(({ id }) => id)
        .filter((id) => id.includes('-a-'));
    expect(ids('S1 B1')).toEqual(['connector-a-top-board', 'trace-a-board-in', 'trace-a-board']);
    expect(ids('/S1 B1')).toEqual(['connector-a-top-board', 'trace-a-board']);
  });

  test('an override finds its link by the id, also when a pad is added behind it', () => {
    const links = [{ id: 'trace-a-board', ohm: '0R5' }];
    const lines = { ...lamp.lines, a: { top: 'T1', board: 'S1 B1 B3' } };
    for (const change of [{ links }, { links, lines, pads: { ...lamp.pads, B3: 'b3' } }]) {
      const made = guideOf(lampWith(change)).links.find(({ id }) => id === 'trace-a-board');
      expect(made).toMatchObject({ ohm: 0.5, from: 'S1', to: 'B1', unit: 'board' });
    }
  });

  test('an author adds to the standard cautions, and takes none away', () => {
    const own = [
      { id: 'cell', title: 'Mine', text: 'More.' },
      { id: 'glass', title: 'Glass', text: 'It cuts.' },
    ];
    const { cautions } = guideOf(lampWith({ cautions: own }));
    expect(cautions.map(({ id }) => id)).toEqual([...standardCautions.map(({ id }) => id), 'glass']);
    for (const { id, text } of standardCautions) {
      expect(cautions.find((caution) => caution.id === id)!.text.startsWith(text)).toBe(true);
    }
    expect(cautions[0]!.text.endsWith('More.')).toBe(true);
  });

  test('checks without words and limits are complete, and a healthy lamp passes them', () => {
    const checks = [
      { id: 'held', pads: ['B1', 'B2'], pressed: ['k'] },
      { id: 'rest', pads: ['T1', 'T2'], access: 'open' },
      { id: 'presses', kind: 'presses', pads: ['T1', 'T2'], key: 'k', count: 5, access: 'open' },
      { id: 'film', kind: 'dry-normal', pads: ['B1', 'B2'], pressed: ['k'] },
    ];
    const full = guideOf(lampWith({ checks }));
    expect(predictChecks(full).map(({ check, insideLimits }) => [check, insideLimits])).toEqual(
      checks.map(({ id }) => [id, true]),
    );
    for (const { prompt, title } of full.checks) expect(prompt.length * title.length).toBeGreaterThan(0);
  });
});

describe('bad tables are refused, each with its code', () => {
  const { lines, pads } = lamp;
  test.each<[string, Partial<typeof lamp>, string]>([
    ['a pad in two cells', { lines: { ...lines, g: { top: 'T2', board: 'S2 B1' } } }, 'short.twice'],
    ['a line without a pad', { lines: { ...lines, x: { board: '.' } } }, 'short.no-pad'],
    ['a pad that is not described', { pads: { ...pads, B1: undefined } }, 'short.pad-unknown'],
    ['a pad in no cell', { pads: { ...pads, Z9: 'far' } }, 'short.pad-nowhere'],
    ['a unit that nothing joins', { lines: { a: { top: 'T1' }, g: { board: 'S2 B2' } } }, 'short.unit-apart'],
    ['a joint of no kind', { joints: {} }, 'short.joint-missing'],
    ['a joint between what are no units', { joints: { 'top/botom': 'spring' } }, 'short.joint'],
    ['a cell in no unit', { lines: { ...lines, a: { tpo: 'T1', board: 'S1 B1' } } }, 'short.unit'],
    ['a key whose lines never meet', { keys: [{ id: 'k', joins: ['T1', 'B2'] }] }, 'short.key-apart'],
    ['a key that joins nothing', { keys: [{ id: 'k' }] }, 'short.key-joins'],
    ['a key to what is not there', { keys: [{ id: 'k', joins: ['T1', 'Q'] }] }, 'short.key-end'],
    ['a cell that is none', { lines: { ...lines, a: { top: 'T1', board: 'S1 (joint B1' } } }, 'short.cell'],
    ['words that say nothing', { joints: { 'top/board': 'sprnig' } }, 'short.link-words'],
    ['two values of one link', { joints: { 'top/board': 'spring 1 ohm 2 ohm' } }, 'short.link-words'],
    ['what hangs on no point', { behind: { Q: { load: '1k' } } }, 'short.point'],
    ['a load without a ground', { ground: undefined }, 'short.ground'],
    ['an input without a threshold', { behind: { B1: { input: 'k' } } }, 'short.threshold'],
    ['neighbours in different units', { near: { top: [['a', 'x']] } }, 'short.near-apart'],
    ['a state that opens no joint', { access: [{ id: 'o', name: 'o', minutes: 1, open: ['a/b'] }] }, 'short.open'],
  ])('%s', (_name, change, code) => {
    const codes = codesOf(change);
    expect(codes).toContain(code);
  });

  test('a problem of what was made stands where its cell stands', () => {
    const text = lampWith({ joints: { 'top/board': 'spring 0.00001 ohm' } });
    const [problem] = problemsOf(text);
    expect(problem).toMatchObject({ code: 'quantity.small' });
    expect(text.split('\n')[problem!.line! - 1]).toMatch(/T1|S1/);
  });
});

test('the kinds of link stand in the examples with the values that the program takes', () => {
  const page = readFileSync(new URL('../../../examples/README.md', import.meta.url), 'utf8');
  const percent = (share: number): string => `${share * 100} %`;
  for (const [kind, { text, usual, modes }] of Object.entries(linkKinds)) {
    const cells = [`\`${kind}\``, text, `${usual.ohm} ohm`, percent(usual.spread)];
    cells.push(usual.max === null ? 'any' : `${usual.max} ohm`, modes.join(', '));
    expect(page).toContain(`| ${cells.join(' | ')} |`);
  }
});

test('an example of the page is a guide', () => {
  const page = readFileSync(new URL('../../../examples/README.md', import.meta.url), 'utf8');
  const block = /```yaml\n([\s\S]*?)```/.exec(page)?.[1] ?? '';
  expect(problemsOf(block)).toEqual([]);
  expect(Object.keys(parse(block) as object)).toContain('lines');
});

test('a pad may have its place on a picture, told where it stands when it lies outside', () => {
  const pictures = [{ id: 'top', file: 'top.png', shows: 'the top' }];
  const withPlace = (x: number): string =>
    stringify({ ...lamp, pictures, pads: { ...lamp.pads, T1: { where: 't1', at: { picture: 'top', x, y: 0.5 } } } });
  expect(guideOf(withPlace(0.25)).pads[0]!.at).toEqual({ picture: 'top', x: 0.25, y: 0.5 });
  const text = withPlace(1.25);
  const line = text.split('\n').findIndex((one) => one.includes('1.25')) + 1;
  expect(problemsOf(text)).toContainEqual(expect.objectContaining({ code: 'place.share', line }));
});
