import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../../src/checks/guides.ts';
import { guideOf, placeOf, problemsOf, smallGuide, smallWith } from '../../support/example-guide.ts';

describe('a sound guide', () => {
  test('comes out in SI numbers', () => {
    const guide = guideOf(smallGuide);
    expect(guide.links).toEqual([
      expect.objectContaining({ id: 'sw', ohm: 0.5, spread: 0.2, normally: 'open', unit: 'key' }),
      expect.objectContaining({ id: 'line', ohm: 0.05, spread: 0.5, unit: null, between: ['key', 'board'] }),
      expect.objectContaining({ id: 'pull', ohm: 10_000, spread: 0.02 }),
    ]);
    expect(guide.inputs).toEqual([{ id: 'in', name: 'lights', node: 'B', belowVolt: 0.9 }]);
    expect(guide.rule).toEqual({ name: 'guarded', p: 0.975 });
    const idle = guide.checks.find((check) => check.id === 'idle');
    expect(idle).toMatchObject({ dwellMs: 20, power: 'on', limits: { quantity: 'voltage', min: 2.85, max: 3.15 } });
    expect(idle).not.toHaveProperty('dwell');
    expect(guide.repairs[0]).toMatchObject({
      success: 0.99,
      fixes: [
        { link: 'sw', mode: null },
        { link: 'line', mode: null },
        { link: 'pull', mode: null },
      ],
    });
  });

  test('has no warnings', () => {
    expect(problemsOf(smallGuide)).toEqual([]);
  });
});

/** What is broken, by which change, the code, and the text at which the problem has to point. */
const broken: [name: string, from: string, to: string, code: string, at: string, after?: string][] = [
  [
    'a unit missing in a mapping',
    'limits: { max: 2 ohm }',
    'limits: { max: 2 }',
    'units.missing',
    '2 }',
    'limits: { max: 2 }',
  ],
  ['a unit missing in a range', 'limits: 3 V +- 5 %', 'limits: 2.8..3.2', 'units.missing', '2.8..3.2'],
  ['a unit missing in a link', 'ohm: 0.5 ohm', 'ohm: 0.5', 'units.missing', '0.5,'],
  ['a dwell without its unit', 'dwell: 20 ms', 'dwell: 20', 'units.missing', '20', 'dwell:'],
  ['a unit of something else', 'limits: { max: 2 ohm }', 'limits: { max: 2 V }', 'units.wrong', '2 V'],
  ['a decimal comma', 'ohm: 0.5 ohm', 'ohm: "0,5 ohm"', 'number.comma', '"0,5 ohm"'],
  ['limits that nothing can meet', 'limits: { max: 2 ohm }', 'limits: 2..1 ohm', 'limits.unmeetable', '2..1 ohm'],
  ['a maximum below zero', 'limits: { max: 2 ohm }', 'limits: { max: -2 ohm }', 'limits.unmeetable', '{ max: -2 ohm }'],
  ['an unknown pad', 'pads: [P1, P3]', 'pads: [P1, P4]', 'ref.unknown', 'P4'],
  ['the same pad twice', 'pads: [P1, P3]', 'pads: [P1, P1]', 'pads.same', '[P1, P1]'],
  ['an unknown node', 'node: B, where', 'node: C, where', 'ref.unknown', 'C, where'],
  ['an unknown node of a link', 'from: VCC, to: B', 'from: VCX, to: B', 'ref.unknown', 'VCX'],
  ['an unknown unit', 'spread: 2 %, unit: board', 'spread: 2 %, unit: bord', 'ref.unknown', 'bord'],
  ['an unknown key', 'pressed: [k]', 'pressed: [q]', 'ref.unknown', 'q]'],
  ['an unknown state of access', 'access: opened', 'access: openned', 'ref.unknown', 'openned'],
  ['an unknown link in a repair', 'fixes: [sw, line, pull]', 'fixes: [sw, lime, pull]', 'ref.unknown', 'lime'],
  ['an id twice', '{ id: open, title: Open', '{ id: live, title: Open', 'id.twice', 'live, title: Open'],
  ['a link of no unit', 'spread: 2 %, unit: board }', 'spread: 2 % }', 'link.owner', '{ id: pull'],
  [
    'a link of a unit and an interface',
    'between: [key, board]',
    'between: [key, board], unit: key',
    'link.owner',
    '{ id: line',
  ],
  ['a link from a node to itself', 'from: VCC, to: B', 'from: B, to: B', 'ref.same', 'B, kind: resistor'],
  [
    'a fault that a link cannot have',
    'fixes: [sw, line, pull]',
    'fixes: [sw, line, pull=film]',
    'fault.cannot',
    'pull=film',
  ],
  ['a fault that is none', 'fixes: [sw, line, pull]', 'fixes: [sw, line, pull=bent]', 'fault.form', 'pull=bent'],
  ['a revision both held and refused', 'revision: B', 'revision: A', 'revision.both', 'A, reason'],
  ['rails without a ground', 'ground: GND\n', '', 'rail.no-ground', '- { id: vcc'],
  ['an unknown field', '    dwell: 20 ms', '    dwel: 20 ms', 'field.unknown', 'dwel'],
  ['a field missing', 'title: A small guide\n', '', 'field.missing', 'guide: 1'],
  ['a check without limits', '    limits: { min: 1 Mohm }\n', '', 'field.missing', 'id: open', 'checks:'],
  ['a kind of check that is none', 'kind: voltage', 'kind: voltages', 'field.choice', 'voltages'],
  ['a kind of link that is none', 'kind: spring', 'kind: sprung', 'field.choice', 'sprung'],
  ['a revision that is a number', 'holds: [A]', 'holds: [1.10]', 'text.needed', '1.10'],
  ['a percentage without its sign', 'spread: 20 %', 'spread: 0.2', 'percent.form', '0.2'],
  ['another version', 'guide: 1', 'guide: 2', 'version.wrong', '2'],
  ['a node that is a pad elsewhere', '{ id: P3, node: B', '{ id: VCC, node: B', 'id.shadow', 'VCC, node: B'],
  ['broken YAML: a bracket left open', 'pads: [P1, P3]', 'pads: [P1, P3', 'yaml.syntax', 'limits: { max: 2 ohm }'],
  ['broken YAML: a key twice', 'title: The line', 'id: again', 'yaml.syntax', 'id: again'],
  ['broken YAML: a tab', '    title: The line', '\ttitle: The line', 'yaml.syntax', '\ttitle'],
];

describe('bad input: code, line and column', () => {
  test.each(broken)('%s', (_name, from, to, code, at, after) => {
    const text = smallWith(from, to);
    const problems = problemsOf(text);
    const found = problems.find((problem) => problem.code === code);
    expect(found, JSON.stringify(problems)).toBeDefined();
    expect(found).toMatchObject({ severity: 'error', ...placeOf(text, at, after ?? '') });
    expect(found!.what.length * found!.help.length).toBeGreaterThan(0);
  });

  test('one mistake makes one problem', () => {
    // the others leave names without what they stood for
    const manifold = new Set(['yaml.syntax', 'id.shadow']);
    for (const [name, from, to, code] of broken) {
      if (manifold.has(code)) continue;
      expect(
        problemsOf(smallWith(from, to)).map((problem) => problem.code),
        name,
      ).toEqual([code]);
    }
  });

  test('every mistake is told at once, in the order of the lines', () => {
    const text = smallWith('ohm: 0.5 ohm', 'ohm: 0.5').replace('limits: { min: 1 Mohm }', 'limits: { min: 1 MV }');
    expect(problemsOf(text).map((problem) => problem.code)).toEqual(['units.missing', 'units.wrong']);
  });

  test('names that are nearly right are offered', () => {
    expect(problemsOf(smallWith('access: openned'.replace('nn', 'n'), 'access: openned'))[0]!.what).toContain(
      "'opened'",
    );
    expect(problemsOf(smallWith('    dwell: 20 ms', '    dwel: 20 ms'))[0]!.what).toContain("'dwell'");
    expect(problemsOf(smallWith('kind: voltage', 'kind: voltages'))[0]!.what).toContain("'voltage'");
    expect(problemsOf(smallWith('kind: spring', 'kind: sprign'))[0]!.what).toContain("'spring'");
  });
});

describe('files that are no guides at all', () => {
  test.each([
    ['', 'yaml.empty'],
    ['# nothing\n', 'yaml.empty'],
    ['just words', 'field.type'],
    ['- 1\n- 2\n', 'field.type'],
    ['--- 1\n--- 2\n', 'yaml.syntax'],
    ['guide: *nowhere', 'yaml.syntax'],
    ['['.repeat(20_000), 'yaml.syntax'],
    ['x'.repeat(2_000_001), 'yaml.size'],
  ])('%# is refused', (text, code) => {
    const parsed = parseGuide(text, 'guide.yaml');
    expect(parsed.ok).toBe(false);
    expect(!parsed.ok && parsed.problems.map((problem) => problem.code)).toContain(code);
  });

  test('aliases that expand without end are refused', () => {
    const bomb = ['a: &a [x, x, x, x, x, x, x, x, x]'];
    for (let k = 0; k < 9; k++) {
      const [name, before] = [String.fromCharCode(98 + k), String.fromCharCode(97 + k)];
      bomb.push(`${name}: &${name} [${Array(9).fill(`*${before}`).join(', ')}]`);
    }
    expect(problemsOf(bomb.join('\n')).map((problem) => problem.code)).toEqual(['yaml.aliases']);
  });
});

test.each(['!!binary aGVsbG8=', '!!set { guide }', '!!omap [guide: 1]'])(
  'a guide that is tagged %s is told as few problems as an empty one',
  (text) => {
    const parsed = parseGuide(text, 'guide.yaml');
    expect(parsed.ok).toBe(false);
    expect(parsed.ok ? [] : parsed.problems.map(({ code }) => code)).not.toContain('field.unknown');
  },
);
