import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseResistorSet } from '../../../src/calibrate/standards/resistor-set.ts';

const head = 'set: 1\nid: TEST-1\n';

function parsed(resistors: string, more = '') {
  return parseResistorSet(`${head}${more}resistors:\n${resistors}`);
}

function setOf(resistors: string, more = '') {
  const result = parsed(resistors, more);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result;
}

describe('a resistor set', () => {
  test('takes a tolerance as limits: a / sqrt(3) (JCGM 100:2008, 4.3.7)', () => {
    const { set } = setOf('  - { name: A, is: 470 ohm 0.1 % }\n  - { name: B, is: 4K7F }\n');
    expect(set.resistors.map(({ standard }) => [standard.ohm, standard.name])).toEqual([
      [470, 'A'],
      [4700, 'B'],
    ]);
    expect(set.resistors[0]!.standard.uOhm).toBeCloseTo(0.47 / Math.sqrt(3), 12);
    expect(set.resistors[1]!.standard.uOhm).toBeCloseTo(47 / Math.sqrt(3), 12);
  });

  test('takes a certified value with its expanded uncertainty and coverage factor (4.3.3), whatever the marking', () => {
    const { set } = setOf(
      '  - { name: A, is: 100RF, certified: 99.987 ohm, expanded: 0.004 ohm }\n  - { name: B, certified: 1.0002 kohm, expanded: 30 mohm, coverage: 3 }\n',
    );
    expect(set.resistors.map(({ standard }) => [standard.ohm, standard.uOhm])).toEqual([
      [99.987, 0.002],
      [1000.2, 0.01],
    ]);
    expect(set.resistors[1]!.nominalOhm).toBeNull();
  });

  test('gives each the common part', () => {
    const { set } = setOf('  - { name: A, is: 470 ohm 0.1 % }\n', 'common: 0.03 %\n');
    expect(set.uCommonRel).toBeCloseTo(0.0003 / Math.sqrt(3), 12);
    expect(set.resistors[0]!.standard.uCommonRel).toBe(set.uCommonRel);
  });

  test('adds what 5 K do to a resistor with a marked coefficient', () => {
    const { set } = setOf('  - { name: A, is: brown black black brown brown brown }\n');
    expect(set.resistors[0]!.standard.uOhm).toBeCloseTo(Math.hypot(10, 1000 * 100e-6 * 5) / Math.sqrt(3), 9);
  });

  test.each([
    ['4.8 kohm 1 %', true],
    ['4.75 kohm 1 %', false],
    ['500 ohm 5 %', true],
    ['brown black red', false],
  ])('%s is asked about: %s', (is, asked) => {
    const { questions } = setOf(`  - { name: A, is: ${is} }\n`);
    expect(questions.map(({ path }) => path)).toEqual(asked ? ['resistors.0.is'] : []);
  });

  test('asks about a certified value outside its own tolerance', () => {
    expect(setOf('  - { name: A, is: 100RF, certified: 110 ohm, expanded: 1 ohm }\n').questions).toHaveLength(1);
  });

  test.each([
    ['resistors.0.is', 3, '  - { name: A, is: 470 }\n'],
    ['resistors.1.is', 4, '  - { name: A, is: 470RF }\n  - { name: B, is: forty }\n'],
    ['resistors.1.name', 4, '  - { name: A, is: 470RF }\n  - { name: A, is: 100RF }\n'],
    ['resistors.0.is', 3, '  - { name: A, is: 0R0F }\n'],
    ['resistors.0.certified', 3, '  - { name: A, certified: 100 ohm }\n'],
    ['resistors.0.certified', 3, '  - { name: A, certified: 5 V, expanded: 1 ohm }\n'],
    ['resistors.0.expanded', 3, '  - { name: A, certified: 100 ohm, expanded: 200 ohm }\n'],
    ['resistors.0.name', 3, '  - { name: A }\n'],
  ])('refuses at %s', (path, line, resistors) => {
    const result = parsed(resistors);
    // one line for the head's two and the list's name
    expect(result.ok ? null : result.problems.map((problem) => [problem.path, problem.line])).toEqual([
      [path, line + 1],
    ]);
  });

  test.each([
    ['nothing', ''],
    ['a word', 'resistors'],
    ['no YAML', 'set: [1'],
    ['another version', 'set: 2\nid: A\nresistors:\n  - { name: A, is: 100RF }\n'],
    [
      'an identity that the block has no room for',
      'set: 1\nid: A-VERY-LONG-IDENTITY\nresistors:\n  - { name: A, is: 100RF }\n',
    ],
    ['an unknown field', 'set: 1\nid: A\ncolour: red\nresistors:\n  - { name: A, is: 100RF }\n'],
    ['no resistor', 'set: 1\nid: A\nresistors: []\n'],
    ['a common part without its unit', 'set: 1\nid: A\ncommon: "0.01"\nresistors:\n  - { name: A, is: 100RF }\n'],
  ])('refuses %s', (_name, text) => {
    const result = parseResistorSet(text);
    expect(result.ok).toBe(false);
    if (!result.ok) for (const problem of result.problems) expect(problem.text).not.toBe('');
  });

  test('never throws, whatever the text', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json(), fc.string({ unit: 'binary' })), (text) => {
        const result = parseResistorSet(text);
        return result.ok || result.problems.length > 0;
      }),
    );
  });

  test('the example can be used and raises no question', () => {
    const text = readFileSync(new URL('../../../examples/bench-resistors.yaml', import.meta.url), 'utf8');
    const result = parseResistorSet(text);
    expect(result.ok && result.questions).toEqual([]);
  });
});
