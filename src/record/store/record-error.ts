import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { errnoOf } from './disk.ts';

/** Stable codes of errors about a record. */
export type RecordErrorCode =
  | 'record.not-captured'
  | 'record.entry'
  | 'record.closed'
  | 'record.broken'
  | 'record.changed'
  | 'record.disk'
  | 'record.exists'
  | 'record.missing'
  | 'record.empty'
  | 'record.damaged'
  | 'record.newer'
  | 'record.locked'
  | 'key.open-to-others'
  | 'key.form';

const recordExit = 6;
const notVerifiableExit = 7;

/** Returns an error about a record: what and where in `message`, what to do in `help`. */
export function recordError(code: RecordErrorCode, message: string, help: string, cause?: unknown): OhmwrightError {
  return new OhmwrightError(code, message, { exitCode: recordExit, help, cause });
}

/** What the errno of a failed file operation means to a person, and what to do about it. */
const sentences: Record<string, { what: string; help: string }> = {
  ENOSPC: { what: 'the disk is full', help: 'Free some space, then resume the job.' },
  // made here, for a write that took less than it was given
  ESHORT: {
    what: 'only a part of it was taken; the disk is full or a limit is reached',
    help: 'Free some space, then resume the job.',
  },
  EFBIG: {
    what: 'the file has reached the largest size allowed here',
    help: 'Raise the limit (ulimit -f), then resume the job.',
  },
  EDQUOT: { what: 'the disk quota is used up', help: 'Free some space, then resume the job.' },
  EACCES: {
    what: 'permission denied',
    help: 'Make the file and its folder writable for you, or choose another folder with --jobs DIR.',
  },
  EPERM: {
    what: 'the system does not allow it',
    help: 'Make the file and its folder writable for you, or choose another folder with --jobs DIR.',
  },
  EROFS: { what: 'the disk is mounted read-only', help: 'Choose a folder on another disk with --jobs DIR.' },
  EIO: { what: 'the disk reports an error', help: 'Copy the record to another disk, then resume the job there.' },
  ENOENT: { what: 'there is no such file or folder', help: 'Check the name; `ohmwright jobs` lists the records.' },
  ENOTDIR: { what: 'a part of the path is not a folder', help: 'Check the name of the folder.' },
  EISDIR: { what: 'it is a folder, not a file', help: 'Name the record file itself.' },
  EMFILE: { what: 'too many files are open', help: 'Close other programs, then resume the job.' },
  ENAMETOOLONG: { what: 'the name is too long', help: 'Choose a shorter name.' },
};

/** Returns what a failed file operation means: a short reason and what to do next. */
export function diskReason(error: unknown): { what: string; help: string } {
  const known = sentences[errnoOf(error)];
  if (known !== undefined) return known;
  const what = error instanceof Error ? error.message : String(error);
  return { what, help: 'Check the disk, then resume the job.' };
}

/** Returns the error for a file operation that failed. `doing`: 'read', 'open', ... */
export function diskError(doing: string, path: string, error: unknown): OhmwrightError {
  if (error instanceof OhmwrightError) return error;
  const { what, help } = diskReason(error);
  const code = errnoOf(error) === 'ENOENT' ? 'record.missing' : 'record.disk';
  return recordError(code, `cannot ${doing} ${path}: ${what}`, help, error);
}

/** Returns the error for a record of a newer version, which nobody here can go on with. `why`: what is new about it. */
export function newerError(path: string, why: string): OhmwrightError {
  const help = 'Use the version that wrote it.';
  return new OhmwrightError('record.newer', `${path} is of a newer version: ${why}`, {
    exitCode: notVerifiableExit,
    help,
  });
}

/** Returns the error for work on a job or record that is closed. */
export function closedError(message: string): OhmwrightError {
  return recordError('record.closed', message, 'Open a new job for more checks; `ohmwright show` prints this one.');
}
