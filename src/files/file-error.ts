import { errnoOf, errnoWords } from '../errors/errno.ts';
import { OhmwrightError } from '../errors/ohmwright-error.ts';

/** Stable codes of errors about files that are read or written for a person. */
export type FileErrorCode =
  | 'file.missing'
  | 'file.unreadable'
  | 'file.not-regular'
  | 'file.too-large'
  | 'file.picture-kind'
  | 'file.picture-damaged'
  | 'file.picture-pixels'
  | 'file.picture-xml'
  | 'file.picture-size'
  | 'file.picture-script'
  | 'file.picture-foreign'
  | 'file.picture-outside'
  | 'output.exists'
  | 'output.record'
  | 'output.not-regular'
  | 'output.failed';

/** An error about a file. `why` is the reason alone, for a sentence of the caller's own. */
export class FileError extends OhmwrightError {
  declare readonly code: FileErrorCode;
  readonly why: string;

  constructor(
    code: FileErrorCode,
    path: string,
    why: string,
    { help = '', cause }: { help?: string; cause?: unknown },
  ) {
    super(code, `${path}: ${why}`, { help, cause });
    this.why = why;
  }
}

/** Returns the error for a file that could not be read. */
export function unreadable(path: string, cause: unknown): FileError {
  if (cause instanceof FileError) return cause;
  const code = errnoOf(cause) === 'ENOENT' ? 'file.missing' : 'file.unreadable';
  return new FileError(code, path, errnoWords(cause), { help: 'Check the name.', cause });
}

/** Returns the error for an output that could not be written. */
export function unwritable(path: string, cause: unknown): FileError {
  if (cause instanceof FileError) return cause;
  if (errnoOf(cause) === 'EEXIST') return alreadyThere(path, cause);
  return new FileError('output.failed', path, `it can't be written: ${errnoWords(cause)}`, {
    help: 'What stood there before stands there still. Name another file, or make room.',
    cause,
  });
}

/** Returns the error for an output whose name is taken. */
export function alreadyThere(path: string, cause?: unknown): FileError {
  return new FileError('output.exists', path, 'it is there already, and is not written over', {
    help: 'Name a new file, or add --force to replace this one.',
    cause,
  });
}
