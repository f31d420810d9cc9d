import { writeFile } from 'node:fs/promises';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { starterGuide } from './starter-guide.ts';

/** `guide new`: writes a commented guide to begin from into a new file, or prints it; returns the exit code. */
export async function guideNew(file: string | undefined, { terminal }: Context): Promise<number> {
  if (file === undefined) {
    terminal.out(starterGuide.trimEnd());
    return exitCodes.passed;
  }
  await writeNewFile(file, starterGuide);
  terminal.say(
    `${file}: a guide to begin from. Change it part by part, and look at it with: ohmwright guide check ${file}`,
  );
  return exitCodes.passed;
}

/** Writes a text into a file that is not there yet. @throws guide.exists */
export async function writeNewFile(file: string, text: string): Promise<void> {
  try {
    await writeFile(file, text, { flag: 'wx' });
  } catch (cause) {
    if (!(cause instanceof Error && 'code' in cause && cause.code === 'EEXIST')) throw cause;
    throw new OhmwrightError('guide.exists', `${file} is there already, and is not written over.`, {
      help: 'Name a new file.',
      cause,
    });
  }
}
