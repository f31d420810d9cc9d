import canonicalize from 'canonicalize';

/**
 * Returns the canonical JSON text of a value (RFC 8785): members sorted by UTF-16 code units,
 * numbers as ECMAScript prints them, no white space. Members that are undefined are left out.
 *
 * @throws Error when the value holds NaN, an infinity, half of a surrogate pair, or is not JSON at
 *   all.
 */
export function canonicalJson(value: unknown): string {
  const text = canonicalize(value);
  if (text === undefined) throw new Error('not a JSON value');
  return text;
}
