import { errnoOf, errnoWords } from '../../errors/errno.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { exitCodeOf, exitCodes } from './exit-codes.ts';

/** Returns the sentence and the exit code of an error: what, where, what to do. */
export function errorText(error: unknown): { text: string; exitCode: number } {
  if (error instanceof OhmwrightError) {
    return {
      text: [error.message, error.help]
        .filter((t) => t !== '')
        .map(asSentence)
        .join(' '),
      exitCode: exitCodeOf(error.code) ?? exitCodes.fault,
    };
  }
  if (errnoOf(error) !== '' && error instanceof Error && 'syscall' in error) {
    // reading a folder fails without a word of its path
    const where = 'path' in error ? `${String(error.path)}: ` : '';
    return { text: asSentence(`${where}${errnoWords(error)}`), exitCode: exitCodes.usage };
  }
  const text = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return { text: `This is a fault in ohmwright itself, please report it: ${text}`, exitCode: exitCodes.fault };
}

/** Returns a text with a capital letter (unless a path begins it) and a full stop. */
function asSentence(text: string): string {
  const once = text.replace(/\?\./g, '?');
  const begun = /^[a-z]+ /.test(once) ? once[0]!.toUpperCase() + once.slice(1) : once;
  return /[.!?:]$/.test(begun) ? begun : `${begun}.`;
}
