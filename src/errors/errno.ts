/**
 * What the errno name of a failed file operation means, in words for a person. Source: the errno
 * names of POSIX.1-2017, `<errno.h>`; `ESHORT` is this program's own, for a write that took less
 * than it was given.
 */
const words: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  EACCES: 'permission denied',
  EPERM: 'the system does not allow it',
  EISDIR: 'it is a folder, not a file',
  ENOTDIR: 'a part of the path is a file, not a folder',
  EEXIST: 'there is a file or folder of that name already',
  ELOOP: 'its links lead in a circle',
  ENAMETOOLONG: 'the name is too long',
  ENOSPC: 'the disk is full',
  ESHORT: 'only a part of it was taken; the disk is full or a limit is reached',
  EFBIG: 'the file has reached the largest size allowed here',
  EDQUOT: 'the disk quota is used up',
  EROFS: 'the disk is mounted read-only',
  EIO: 'the disk reports an error',
  EMFILE: 'too many files are open',
  ENFILE: 'too many files are open on this computer',
  ENXIO: 'nothing is behind that name',
  EPIPE: 'nobody takes the output any more',
  ETXTBSY: 'that program is running',
};

/** Returns the errno name of a file error, or of the one that caused it; '' when there is none. */
export function errnoOf(error: unknown): string {
  if (!(error instanceof Error)) return '';
  if ('code' in error && typeof error.code === 'string' && /^E[A-Z0-9]+$/.test(error.code)) return error.code;
  return errnoOf(error.cause);
}

/**
 * Returns why a file operation failed, in words; the error's own message for an errno that is not
 * in the table.
 */
export function errnoWords(error: unknown): string {
  return words[errnoOf(error)] ?? (error instanceof Error ? error.message : String(error));
}
