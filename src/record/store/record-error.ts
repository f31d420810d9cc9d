import { errnoOf, errnoWords } from '../../errors/errno.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { FileError } from '../../files/file-error.ts';

/** Stable codes of errors about a record. */
export type RecordErrorCode =
  | 'record.not-captured'
  | 'record.entry'
  | 'record.closed'
  | 'record.open'
  | 'record.broken'
  | 'record.changed'
  | 'record.disk'
  | 'record.exists'
  | 'record.missing'
  | 'record.empty'
  | 'record.damaged'
  | 'record.newer'
  | 'record.locked'
  | 'record.linked'
  | 'key.open-to-others'
  | 'key.form';

/** Returns an error about a record: what and where in `message`, what to do in `help`. */
export function recordError(code: RecordErrorCode, message: string, help: string, cause?: unknown): OhmwrightError {
  return new OhmwrightError(code, message, { help, cause });
}

const otherFolder = 'Make the file and its folder writable for you, or choose another folder with --jobs DIR.';

/** What to do about a file operation that failed, by its errno. */
const helps: Readonly<Record<string, string>> = {
  ENOSPC: 'Free some space, then resume the job.',
  ESHORT: 'Free some space, then resume the job.',
  EFBIG: 'Raise the limit (ulimit -f), then resume the job.',
  EACCES: otherFolder,
  EPERM: otherFolder,
  EROFS: 'Choose a folder on another disk with --jobs DIR.',
  EIO: 'Copy the record to another disk, then resume the job there.',
  ENOENT: 'Check the name; `ohmwright jobs` lists the records.',
  ENOTDIR: 'Check the name of the folder.',
  EISDIR: 'Name the record file itself.',
  EMFILE: 'Close other programs, then resume the job.',
  ENAMETOOLONG: 'Choose a shorter name.',
};

/** Returns what a failed file operation means: a short reason and what to do next. */
export function diskReason(error: unknown): { what: string; help: string } {
  const help = helps[errnoOf(error)];
  if (error instanceof FileError) return { what: error.why, help: help ?? error.help };
  return { what: errnoWords(error), help: help ?? 'Check the disk, then resume the job.' };
}

/** Returns the error for a file operation that failed. `doing`: 'read', 'open', ... */
export function diskError(doing: string, path: string, error: unknown): OhmwrightError {
  if (error instanceof OhmwrightError && !(error instanceof FileError)) return error;
  const { what, help } = diskReason(error);
  const code = errnoOf(error) === 'ENOENT' ? 'record.missing' : 'record.disk';
  return recordError(code, `cannot ${doing} ${path}: ${what}`, help, error);
}

/**
 * Returns the error for a record of a newer version, which nobody here can go on with. `why`: what
 * is new about it.
 */
export function newerError(path: string, why: string): OhmwrightError {
  return recordError('record.newer', `${path} is of a newer version: ${why}`, 'Use the version that wrote it.');
}

/** Returns the error for work on a job or record that is closed. */
export function closedError(message: string): OhmwrightError {
  return recordError('record.closed', message, '`ohmwright addendum` adds to it; `ohmwright show` prints it.');
}
