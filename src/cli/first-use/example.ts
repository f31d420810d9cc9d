import { dirname, join, parse } from 'node:path';
import { parseGuide } from '../../checks/guides.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { makePrivateFolder } from '../../files/folder.ts';
import { readForeignFile, readForeignText } from '../../files/read-file.ts';
import { writeOutput } from '../../files/write-output.ts';
import { didYouMean } from '../../guide/file/near.ts';
import { exampleFile, exampleNames } from '../places/example-file.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';

/**
 * `example`: lists the examples that come with the program, or copies them into `examples` here, so
 * that every command line of the pages works as it stands.
 */
export async function example(
  names: string[],
  options: { force: boolean; json: boolean },
  { terminal, signal }: Context,
): Promise<number> {
  const known = exampleNames();
  if (names.length === 0) {
    if (options.json) printJson(terminal, known);
    else for (const name of known) terminal.out(name);
    return exitCodes.passed;
  }
  const wanted = [...new Set(names.flatMap((name) => filesOf(name, known)))];
  const written: string[] = [];
  for (const name of [...wanted, ...(await picturesOf(wanted))]) {
    const path = join(terminal.cwd, 'examples', name);
    makePrivateFolder(dirname(path));
    writeOutput(path, await readForeignFile(exampleFile(name), 'byte log', signal), options);
    written.push(path);
  }
  if (options.json) printJson(terminal, written);
  else for (const path of written) terminal.out(path);
  return exitCodes.passed;
}

/** Returns the pictures that go with the guides among some files. */
async function picturesOf(names: readonly string[]): Promise<string[]> {
  const files: string[] = [];
  for (const name of names.filter((one) => one.endsWith('.yaml'))) {
    const parsed = parseGuide(await readForeignText(exampleFile(name), 'guide'), name);
    if (parsed.ok) files.push(...parsed.guide.pictures.map(({ file }) => file));
  }
  return [...new Set(files)];
}

/** Returns the files of that name, with or without their ending. */
function filesOf(name: string, known: readonly string[]): string[] {
  const files = known.filter((file) => file === name || parse(file).name === name);
  if (files.length > 0) return files;
  throw new OhmwrightError('usage.example', `There is no example '${name}'${didYouMean(name, known)}`, {
    help: 'See `ohmwright example` for those that there are.',
  });
}
