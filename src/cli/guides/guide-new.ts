import { writeOutput } from '../../files/write-output.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { starterGuide } from './starters/starter-guide.ts';
import { type StarterTable, starterTables } from './starters/starter-tables.ts';

/**
 * `guide new`: writes a commented guide to begin from into a new file, or prints it; returns the
 * exit code.
 */
export async function guideNew(
  file: string | undefined,
  options: { force: boolean; currency?: string | undefined; like?: StarterTable | undefined },
  { terminal }: Context,
): Promise<number> {
  const begun = options.like === undefined ? starterGuide : starterTables[options.like];
  const guide = begun.replace(/^currency: .*$/m, () => `currency: ${plainOrQuoted(options.currency ?? 'EUR')}`);
  if (file === undefined) {
    terminal.document(guide);
    return exitCodes.passed;
  }
  writeOutput(file, guide, options);
  terminal.say(
    `${file}: a guide to begin from. Change it part by part, and look at it with: ohmwright guide check ${file}`,
  );
  return exitCodes.passed;
}

/** A code of ISO 4217 stands in YAML as it is; all else in quotation marks, as JSON has them. */
function plainOrQuoted(text: string): string {
  return /^[A-Z]{3}$/.test(text) ? text : JSON.stringify(text);
}
