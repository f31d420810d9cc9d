import { globSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { errorText } from '../../../src/cli/program/error-text.ts';
import { exitCodeOf, exitCodes, exitMeanings, worstExit } from '../../../src/cli/program/exit-codes.ts';
import { OhmwrightError } from '../../../src/errors/ohmwright-error.ts';
import { didYouMean } from '../../../src/guide/file/near.ts';

const root = new URL('../../../', import.meta.url);
const sources = globSync(['src/**/*.{ts,tsx}', 'sim/**/*.ts'], { cwd: root }).map((path) => ({
  path,
  text: readFileSync(new URL(path, root), 'utf8'),
}));

/** The dotted codes that stand in the sources where errors are made, or in the type of their codes. */
const codes = new Set(
  sources.flatMap(({ text }) => [
    ...[...text.matchAll(/(?:\w+Error|refuse|usage|invalid)\(\s*'([a-z]+(?:\.[a-z-]+)+)'/g)].map((match) => match[1]!),
    ...[...text.matchAll(/^ {2}\| '([a-z]+\.[a-z-]+)'/gm)].map((match) => match[1]!),
  ]),
);

describe('the table of exit codes', () => {
  test('has an ending for every error code in the sources', () => {
    expect(codes.size).toBeGreaterThan(40);
    expect([...codes].filter((code) => exitCodeOf(code) === null)).toEqual([]);
  });

  test.each([
    ['usage.run', 2],
    ['guide.invalid', 2],
    ['guide.read', 2],
    ['record.closed-job', 2],
    ['calibration.no-serial', 2],
    ['sim.image', 2],
    ['sim.pty', 4],
    ['port.busy', 4],
    ['port.none', 4],
    ['health.port', 4],
    ['link.lost', 5],
    ['link.not-a-probe', 5],
    ['calibration.not-written', 5],
    ['record.not-captured', 6],
    ['record.locked', 6],
    ['key.form', 6],
    ['calibration.disk', 6],
    ['output.exists', 9],
    ['record.newer', 7],
    ['record.unsigned', 8],
  ])('ends %s with %i', (code, exit) => {
    expect(exitCodeOf(code)).toBe(exit);
    expect(errorText(new OhmwrightError(code, 'a thing went wrong')).exitCode).toBe(exit);
  });

  test('knows nothing of a code that only begins like one of its own', () => {
    expect(exitCodeOf('recorder.broken')).toBeNull();
  });

  test('puts what is not to be relied on before what cannot be read, and that before what failed', () => {
    const order = [0, 3, 1, 2, 4, 5, 9, 7, 8, 6, 70, 130, 129, 143];
    for (const [worse, code] of order.entries())
      for (const better of order.slice(0, worse)) {
        expect(worstExit([better, code])).toBe(code);
        expect(worstExit([code, better])).toBe(code);
      }
    expect(worstExit([])).toBe(0);
    expect([...order].sort()).toEqual(Object.values(exitCodes).sort());
  });

  test('is the list on the page of the commands', () => {
    const readme = readFileSync(new URL('src/cli/README.md', root), 'utf8');
    const rows = [...readme.matchAll(/^\| (\d+) +\| (.*?) +\|$/gm)].map(([, code, meaning]) => ({
      code: Number(code),
      meaning,
    }));
    expect(rows).toEqual(exitMeanings);
  });

  test('is the only place that knows their numbers', () => {
    const literal = /\bexit(?:Code)?: \d|setExit\(\d|return \d+; \/\/ exit|process\.exit\(/;
    const elsewhere = sources.filter(
      ({ path, text }) => literal.test(text) && !['src/cli/program/exit-codes.ts'].includes(path),
    );
    expect(elsewhere.map(({ path }) => path)).toEqual([]);
  });
});

test('a sentence that ends with a question has no full stop behind it, and one letter is like no other', () => {
  expect(errorText(new OhmwrightError('usage.run', "it is none, did you mean 'A'?.")).text).toBe(
    "It is none, did you mean 'A'?",
  );
  expect(didYouMean('7', ['A', 'B'])).toBe('');
  expect(didYouMean('a', ['A', 'B'])).toBe(", did you mean 'A'?");
});
