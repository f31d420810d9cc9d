import { OhmwrightError } from '../protocol/ohmwright-error.ts';
import { exitCodes } from './exit-codes.ts';

const system: Record<string, string> = {
  ENOENT: 'there is no such file or folder',
  EACCES: 'not allowed to open it',
  EISDIR: 'that is a folder, not a file',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk is read-only',
};

/** Returns the sentence and the exit code of an error: what, where, what to do. */
export function errorText(error: unknown): { text: string; exitCode: number } {
  if (error instanceof OhmwrightError) {
    const help = error.help === '' ? '' : ` ${error.help}`;
    return { text: `${error.message}${help}`, exitCode: error.exitCode };
  }
  if (error instanceof Error && 'code' in error && typeof error.code === 'string' && 'path' in error) {
    const what = system[error.code] ?? error.code;
    return { text: `${String(error.path)}: ${what}.`, exitCode: exitCodes.usage };
  }
  const text = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return { text: `This is a fault in ohmwright itself, please report it: ${text}`, exitCode: 70 };
}
