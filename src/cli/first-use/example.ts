import { join, parse } from 'node:path';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { makePrivateFolder } from '../../files/folder.ts';
import { readForeignFile } from '../../files/read-file.ts';
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
  const folder = join(terminal.cwd, 'examples');
  makePrivateFolder(folder);
  const written: string[] = [];
  for (const name of wanted) {
    const path = join(folder, name);
    writeOutput(path, await readForeignFile(exampleFile(name), 'byte log', signal), options);
    written.push(path);
  }
  if (options.json) printJson(terminal, written);
  else for (const path of written) terminal.out(path);
  return exitCodes.passed;
}

/** Returns the files of that name, with or without their ending. */
function filesOf(name: string, known: readonly string[]): string[] {
  const files = known.filter((file) => file === name || parse(file).name === name);
  if (files.length > 0) return files;
  throw new OhmwrightError('usage.example', `There is no example '${name}'${didYouMean(name, known)}`, {
    help: 'See `ohmwright example` for those that there are.',
  });
}
