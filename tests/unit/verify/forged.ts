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

/** Returns a record of these entries, chained anew as by someone who knows how chains are made. Nothing is checked. */
function chainedAnew(entries: readonly RawEntry[]): Buffer {
  let prev = firstPrev;
  const lines = entries.map((entry, i) => {
    const body = canonicalJson({ ...entry, prev, n: i + 1 });
    prev = sha256(body);
    return `{"body":${body},"sha256":"${prev}"}\n`;
  });
  return Buffer.from(lines.join(''));
}

/** Returns a record after a change of its entries, chained anew; the signature goes, for nobody else has the key. */
export function forgery(bytes: Buffer, change: (entries: RawEntry[]) => RawEntry[] | undefined): Buffer {
  const entries = structuredClone(rawEntries(bytes)).filter(({ kind }) => kind !== 'signed');
  return chainedAnew(change(entries) ?? entries);
}
