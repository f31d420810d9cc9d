import { readFileSync } from 'node:fs';
import { canonicalJson } from '../../../src/record/chain/canonical.ts';
import { firstPrev, sha256 } from '../../../src/record/chain/chain.ts';

/** An entry as it stands in a file, with nothing known of its form. */
export type RawEntry = Record<string, unknown> & { kind: string };

/** Returns the bytes of a kept record. */
export function keptRecord(name: string): Buffer {
  return readFileSync(new URL(`../../fixtures/records/${name}.owjob`, import.meta.url));
}

/** Returns the entries of a record, place in the chain included. */
export function rawEntries(bytes: Buffer): RawEntry[] {
  return bytes
    .toString('utf8')
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => (JSON.parse(line) as { body: RawEntry }).body);
}

/**
 * Returns a record of these entries, chained anew as by someone who knows how chains are made. A conclusion names the
 * entries that it rests on by their new numbers. Nothing is checked.
 */
function chainedAnew(entries: readonly RawEntry[]): Buffer {
  let prev = firstPrev;
  const numbers = new Map(entries.map(({ n }, i) => [n, i + 1]));
  const lines = entries.map((entry, i) => {
    const { evidence } = entry;
    const rests = Array.isArray(evidence) ? { evidence: evidence.map((n: unknown) => numbers.get(n) ?? n) } : {};
    const body = canonicalJson({ ...entry, ...rests, prev, n: i + 1 });
    prev = sha256(body);
    return `{"body":${body},"sha256":"${prev}"}\n`;
  });
  return Buffer.from(lines.join(''));
}

/**
 * Returns a record after a change of its entries, chained anew. The signature goes, for nobody else has the key, and
 * with it the number that only a signed record can have.
 */
export function forgery(bytes: Buffer, change: (entries: RawEntry[]) => RawEntry[] | undefined): Buffer {
  const entries = structuredClone(rawEntries(bytes)).filter(({ kind }) => kind !== 'signed');
  for (const entry of entries) delete entry.bench;
  return chainedAnew(change(entries) ?? entries);
}
