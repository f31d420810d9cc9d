import fc from 'fast-check';
import { expect, test } from 'vitest';
import { guideProblems, parseGuide } from '../../../src/checks/guides.ts';
import { exampleNames, exampleText, smallGuide } from '../../support/example-guide.ts';
import { runs } from '../../support/runs.ts';

/** A refusal has at least one problem, each with a place and both halves of its sentence. */
function expectSettled(text: string): void {
  const parsed = parseGuide(text, 'guide.yaml');
  if (parsed.ok) {
    for (const problem of guideProblems(parsed.guide)) expect(problem.line).toBeGreaterThan(0);
    return;
  }
  expect(parsed.problems.length).toBeGreaterThan(0);
  for (const { what, help, code, line, column } of parsed.problems) {
    expect(what).not.toBe(code);
    expect(`${what}${help}`).not.toMatch(/undefined|\[object|NaN/);
    expect(line).toBeGreaterThan(0);
    expect(column).toBeGreaterThan(0);
  }
}

test('no text makes the parser throw', () => {
  fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), expectSettled), { numRuns: runs(300) });
});

test('no YAML of any shape makes it throw', () => {
  const value = fc.letrec((tie) => ({
    any: fc.oneof(
      { maxDepth: 4 },
      fc.constantFrom('2 ohm', 2, null, true, 'GND', '', -1, 'max 2 ohm', 'resistance'),
      fc.array(tie('any'), { maxLength: 3 }),
      fc.dictionary(
        fc.constantFrom('guide', 'id', 'links', 'checks', 'limits', 'pads', 'kind', 'ohm', '__proto__'),
        tie('any'),
      ),
    ),
  }));
  fc.assert(
    fc.property(value.any, (any) => expectSettled(JSON.stringify(any))),
    { numRuns: runs(300) },
  );
});

test.each(exampleNames)('%s with characters taken out, put in or doubled is read or refused in words', (name) => {
  const text = exampleText(name);
  const change = fc.record({
    at: fc.nat({ max: text.length }),
    out: fc.nat({ max: 12 }),
    put: fc.oneof(
      fc.constantFrom('', ':', ' ', '\n', '[', '}', '- ', '#', '"', '&a ', '*a', '\t', '{', '0', ','),
      fc.string({ maxLength: 3 }),
    ),
  });
  fc.assert(
    fc.property(fc.array(change, { minLength: 1, maxLength: 3 }), (changes) => {
      expectSettled(changes.reduce((now, { at, out, put }) => now.slice(0, at) + put + now.slice(at + out), text));
    }),
    { numRuns: runs(name === 'membrane-keypad' ? 15 : 40) },
  );
});

test('the small guide with any one line left out is read or refused in words', () => {
  const lines = smallGuide.split('\n');
  for (let k = 0; k < lines.length; k++) expectSettled(lines.filter((_, at) => at !== k).join('\n'));
});

test('the small guide with any one scalar swapped for another is read or refused in words', () => {
  const scalar = /(?<=[:[,] )[^\s,{}[\]]+/g;
  const spans = [...smallGuide.matchAll(scalar)];
  fc.assert(
    fc.property(
      fc.nat(),
      fc.constantFrom('2', '2 ohm', 'GND', '[]', '{}', 'null', '-1 V', 'P1', '"', "'", 'yes', '1e999 ohm'),
      (pick, put) => {
        const span = spans[pick % spans.length]!;
        expectSettled(smallGuide.slice(0, span.index) + put + smallGuide.slice(span.index + span[0].length));
      },
    ),
    { numRuns: runs(300) },
  );
});
