// The program's own help is printed without the library that reads command lines; both ways give the same text.
import { expect, test } from 'vitest';
import { cli } from '../support/command-line.ts';
import { killProgramsAfterwards, ran } from '../support/program.ts';

killProgramsAfterwards();

test.each([['--help'], ['-h'], ['help']])('%s prints what the command tree prints', async (word) => {
  const { terminal } = await cli('.', ['--help']);
  const program = await ran([word]);
  expect(program.ending.code).toBe(0);
  expect(program.out.all.map((line) => line.trimEnd())).toEqual(terminal.outLines.map((line) => line.trimEnd()));
});

test('the help of a command is another one', async () => {
  const program = await ran(['jobs', '--help']);
  expect(program.ending.code).toBe(0);
  expect(program.out.text).toContain('Usage: ohmwright jobs');
});
