import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { exitCodes } from './exit-codes.ts';

const system: Record<string, string> = {
  ENOENT: 'there is no such file or folder',
  EACCES: 'not allowed to open it',
  EISDIR: 'that is a folder, not a file',
  EEXIST: 'there is a file or folder of that name already',
  ENOTDIR: 'a part of the path is a file, not a folder',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk is read-only',
};

/** Returns the sentence and the exit code of an error: what, where, what to do. */
export function errorText(error: unknown): { text: string; exitCode: number } {
  if (error instanceof OhmwrightError || isSimError(error)) {
    return {
      text: [error.message, error.help]
        .filter((t) => t !== '')
        .map(asSentence)
        .join(' '),
      exitCode: error.exitCode,
    };
  }
  if (error instanceof Error && 'code' in error && typeof error.code === 'string' && 'syscall' in error) {
    const what = system[error.code] ?? error.code;
    // reading a folder fails without a word of its path
    const where = 'path' in error ? `${String(error.path)}: ` : '';
    return { text: asSentence(`${where}${what}`), exitCode: exitCodes.usage };
  }
  const text = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return { text: `This is a fault in ohmwright itself, please report it: ${text}`, exitCode: 70 };
}

/** Returns a text with a capital letter (unless a path begins it) and a full stop. */
function asSentence(text: string): string {
  const begun = /^[a-z]+ /.test(text) ? text[0]!.toUpperCase() + text.slice(1) : text;
  return /[.!?:]$/.test(begun) ? begun : `${begun}.`;
}

/** The simulator's own errors, known by their name: to import their class here would load the simulator for every command. */
function isSimError(error: unknown): error is Error & { help: string; exitCode: number } {
  return error instanceof Error && error.name === 'SimError' && 'help' in error && 'exitCode' in error;
}
