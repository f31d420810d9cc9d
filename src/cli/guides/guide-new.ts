import { writeOutput } from '../../files/write-output.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { starterGuide } from './starter-guide.ts';

/**
 * `guide new`: writes a commented guide to begin from into a new file, or prints it; returns the
 * exit code.
 */
export async function guideNew(
  file: string | undefined,
  options: { force: boolean },
  { terminal }: Context,
): Promise<number> {
  if (file === undefined) {
    terminal.document(starterGuide);
    return exitCodes.passed;
  }
  writeOutput(file, starterGuide, options);
  terminal.say(
    `${file}: a guide to begin from. Change it part by part, and look at it with: ohmwright guide check ${file}`,
  );
  return exitCodes.passed;
}
