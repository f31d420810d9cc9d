const mostCharacters = 100;

/**
 * Returns a name for a file or a member of an archive, made of a text from elsewhere: letters,
 * digits, `-`, `_` and inner dots of ASCII (the portable filename character set of POSIX.1-2017,
 * 3.282). Everything else becomes `-`; `unnamed` when nothing is left.
 */
export function safeName(text: string): string {
  const name = text
    .replace(/[^A-Za-z0-9._-]+/g, '-')
    .replace(/\.{2,}/g, '.')
    .slice(0, mostCharacters)
    .replace(/^[.-]+|[.-]+$/g, '');
  return name === '' ? 'unnamed' : name;
}
