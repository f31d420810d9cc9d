import { commandList, groups } from '../program/command-list.ts';
import { exitMeanings } from '../program/exit-codes.ts';

export const purpose =
  'Prove which replaceable unit of a battery-powered handheld device holds the fault, and keep the evidence.';

const options = [
  ['-V, --version', 'output the version number'],
  ['-h, --help', 'display help for command'],
] as const;

/** Narrower than that, lines are left to the terminal. */
const leastColumns = 40;
const termColumns = 15;

/**
 * Returns the help of the whole program. It is made from the list of commands alone, so that it needs
 * no library that reads command lines.
 */
export function programHelp(columns: number): string {
  const width = Math.max(leastColumns, columns);
  const rows = (list: readonly (readonly [string, string])[]): string[] =>
    list.flatMap(([term, about]) =>
      wrapped(about, width - termColumns - 2).map((line, at) =>
        `  ${(at === 0 ? term : '').padEnd(termColumns)}${line}`.trimEnd(),
      ),
    );
  const listed = (names: readonly string[]) =>
    commandList.filter(({ name }) => names.includes(name)).map(({ name, about }) => [name, about] as const);
  const parts = [
    'Usage: ohmwright [options] [command]',
    ...['', ...wrapped(purpose, width)],
    ...['', 'Options:', ...rows(options)],
    ...Object.entries(groups).flatMap(([group, names]) => ['', `${group}:`, ...rows(listed(names))]),
    ...['', ...wrapped('ohmwright COMMAND --help tells its options, with an example.', width)],
  ];
  const exits = exitMeanings.flatMap(({ code, meaning }) =>
    wrapped(meaning, width - 7).map((line, at) => `  ${(at === 0 ? String(code) : '').padEnd(5)}${line}`.trimEnd()),
  );
  return `${[...parts, '', 'Exit codes:', ...exits].join('\n')}\n`;
}

/** Breaks a text between words. */
function wrapped(text: string, width: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= width) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
