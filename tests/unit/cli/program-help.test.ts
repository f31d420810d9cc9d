import { expect, test } from 'vitest';
import { commandList } from '../../../src/cli/program/command-list.ts';
import { exitMeanings } from '../../../src/cli/program/exit-codes.ts';
import { programHelp } from '../../../src/cli/start-up/program-help.ts';

const words = (text: string): string => text.replace(/\s+/g, ' ');

test.each([40, 58, 80, 200])('the help fits a terminal of %i columns, and leaves nothing out', (columns) => {
  const help = programHelp(columns);
  expect(Math.max(...help.split('\n').map((line) => line.length))).toBeLessThanOrEqual(columns);
  for (const { name, about } of commandList.filter((command) => !command.name.includes(' ')))
    expect(words(help)).toContain(words(`${name} ${about}`));
  for (const { code, meaning } of exitMeanings) expect(words(help)).toContain(words(`${code} ${meaning}`));
});

test('in less than 40 columns the terminal breaks the lines itself', () => {
  expect(programHelp(20)).toBe(programHelp(40));
});
