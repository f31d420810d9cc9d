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

/**
 * Returns true when a text is the canonical JSON of the value that `JSON.parse` made of it.
 *
 * `JSON.stringify` prints the same as RFC 8785, but for the order of members and half surrogate
 * pairs. So where it gives the text back, only these two are looked at; else the whole form is made.
 */
export function isCanonicalJson(value: unknown, text: string): boolean {
  // an escaped half of a surrogate pair is printed as it came
  if (!text.includes('\\ud') && JSON.stringify(value) === text && hasSortedMembers(value)) return true;
  try {
    return canonicalJson(value) === text;
  } catch {
    return false;
  }
}

function hasSortedMembers(value: unknown): boolean {
  const open: unknown[] = [value];
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    if (typeof next !== 'object' || next === null) continue;
    if (Array.isArray(next)) {
      // what is in a list of numbers has no members
      for (const inside of next) if (typeof inside === 'object' && inside !== null) open.push(inside);
      continue;
    }
    let before = '';
    for (const [name, inside] of Object.entries(next)) {
      if (name < before) return false;
      before = name;
      if (typeof inside === 'object' && inside !== null) open.push(inside);
    }
  }
  return true;
}
