import { generateKeyPairSync } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { withoutPersonalData } from '../../../src/record/chain/chain.ts';
import { benchKeyOf } from '../../../src/record/signing/bench-key.ts';
import { checkSignature, signedEntry } from '../../../src/record/signing/signed-head.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { stride } from '../../support/runs.ts';
import { captured, chainOf, opening, presses, probe, proofs, refusal } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';

let dir: string;
beforeEach(() => {
  dir = scratch();
});

const key = benchKeyOf(generateKeyPairSync('ed25519').privateKey);
const otherKey = benchKeyOf(generateKeyPairSync('ed25519').privateKey);

/** A short job with one of each kind of evidence, a customer, and a signature. */
async function signedRecord(): Promise<Buffer> {
  const record = await JobRecord.create(dir, opening, { customer: { name: 'M. Example', contact: 'desk 4' } });
  for (const entry of [probe(), ...proofs('opening'), captured('spring', 0.4), presses('key', [0.2])]) {
    await record.append(entry);
  }
  for (const entry of proofs('closing')) await record.append(entry);
  await record.closeJob('done', { key });
  await record.close();
  return readFile(record.path);
}

const signsAt = (prev: string) => ({
  job: '2031-05-17-abcdef',
  format: 1,
  place: { prev, n: 4, at: '2031-05-17T08:00:03.000Z' },
});

const codesOf = (bytes: Uint8Array, expectedKey?: string) =>
  verifyRecord(bytes, expectedKey === undefined ? {} : { expectedKey }).departures.map(({ code }) => code);

describe('a signed record', () => {
  test('verifies, names the key, and takes nothing more', async () => {
    const bytes = await signedRecord();
    const report = verifyRecord(bytes);
    expect(report.departures).toEqual([]);
    expect(report.signature).toEqual({ state: 'holds', publicKey: key.publicKey, fingerprint: key.fingerprint });
    expect(codesOf(bytes, key.publicKey)).toEqual([]);
    expect(codesOf(bytes, otherKey.publicKey)).toEqual(['signature.other-key']);
    const record = await JobRecord.create(join(dir, 'b'), opening);
    await record.closeJob('done', { key });
    await refusal(record.append({ kind: 'note', text: 'late' }), 'record.closed');
    await record.close();
    await refusal(JobRecord.resume(record.path), 'record.closed');
  });

  test('does not pass for signed once its end was cut off, or the chain written anew', async () => {
    const bytes = await signedRecord();
    const unsigned = bytes.subarray(0, bytes.lastIndexOf(0x0a, bytes.length - 2) + 1);
    expect(verifyRecord(unsigned).signature.state).toBe('none');
    expect(verifyRecord(unsigned).notes.map(({ code }) => code)).toContain('signature.none');
    expect(codesOf(unsigned, key.publicKey)).toEqual(['signature.none']);
    // someone without the key writes the whole chain anew, with the old signature at its end
    const entries = verifyRecord(bytes).entries;
    expect(entries).toBeGreaterThan(8);
    const forged = chainOf([
      { ...opening, kind: 'opened', format: 1, job: '2031-05-17-abcdef' },
      { kind: 'note', text: 'all is well' },
      { kind: 'closed', result: 'inconclusive', proofs: 'missing', counts: forgedCounts, why: 'done' },
      signedEntry(signsAt('f'.repeat(64)), key),
    ]);
    expect(codesOf(forged.bytes)).toEqual(['signature.broken']);
    expect(verifyRecord(forged.bytes).ok).toBe(false);
  });

  test('refuses a signature anywhere else than behind the closing', () => {
    const opened = { ...opening, kind: 'opened' as const, format: 1 as const, job: '2031-05-17-abcdef' };
    const early = chainOf([opened, signedEntry(signsAt('0'.repeat(64)), key)]);
    expect(codesOf(early.bytes)).toContain('order.signed');
  });

  test('is signed for its own job: the signature is none for another one with the same head', () => {
    const place = { n: 2, at: '2031-05-17T08:00:00.000Z', prev: '0'.repeat(64) };
    for (const format of [1, 2]) {
      const entry = { ...signedEntry({ job: 'a-job', format, place }, key), ...place };
      expect(checkSignature(entry, { job: 'a-job', format }).state).toBe('holds');
      expect(checkSignature(entry, { job: 'b-job', format }).state).toBe('broken');
      expect(checkSignature({ ...entry, prev: '1'.repeat(64) }, { job: 'a-job', format }).state).toBe('broken');
      expect(checkSignature(entry, { job: 'a-job', format: 3 - format }).state).toBe('broken');
    }
  });

  test('has its own time under the signature, which format 1 had not', () => {
    const place = { n: 2, at: '2031-05-17T08:00:00.000Z', prev: '0'.repeat(64) };
    const stateOf = (format: number) => {
      const entry = { ...signedEntry({ job: 'a-job', format, place }, key), ...place, at: '2041-05-17T08:00:00.000Z' };
      return checkSignature(entry, { job: 'a-job', format }).state;
    };
    expect(stateOf(1)).toBe('holds');
    expect(stateOf(2)).toBe('broken');
  });

  test('blames a changed line alone, not the signature behind the closing', async () => {
    const bytes = await signedRecord();
    const changed = Buffer.from(bytes.toString().replace('"outcome":"pass"', '"outcome":"fail"'));
    expect(codesOf(changed)).toContain('line.hash');
    expect(codesOf(changed)).not.toContain('order.signed');
    const closing = Buffer.from(bytes.toString().replace('"why":"done"', '"why":"gone"'));
    expect(codesOf(closing)).toContain('line.hash');
    expect(codesOf(closing)).not.toContain('order.signed');
  });

  test('shows the change of any single byte', { timeout: 120_000 }, async () => {
    const bytes = await signedRecord();
    const unseen: number[] = [];
    for (let at = 0; at < bytes.length; at += stride) {
      const changed = Buffer.from(bytes);
      // another bit in each place: capitals, digits, quotes, brackets and newlines all come about
      changed[at]! ^= 1 << (at % 8);
      // without working anything out again: the chain and the signature alone must show it
      if (verifyRecord(changed, { rederive: false }).ok) unseen.push(at);
    }
    expect(unseen).toEqual([]);
    expect(bytes.length).toBeGreaterThan(5_000);
  });
});

describe('the customer in a record', () => {
  test('can be taken away, and the record still verifies under the same signature', async () => {
    const bytes = await signedRecord();
    expect(bytes.includes('M. Example')).toBe(true);
    const lines = bytes.toString().split('\n');
    const less = Buffer.from(
      lines.map((line) => Buffer.from(withoutPersonalData(Buffer.from(line))).toString()).join('\n'),
    );
    expect(less.includes('M. Example')).toBe(false);
    expect(less.includes('desk 4')).toBe(false);
    const report = verifyRecord(less, { expectedKey: key.publicKey });
    expect(report.departures).toEqual([]);
    expect(report.lastSha256).toBe(verifyRecord(bytes).lastSha256);
  });

  test('cannot be exchanged for another', async () => {
    const bytes = await signedRecord();
    const other = Buffer.from(bytes.toString().replace('M. Example', 'N. Example'));
    expect(codesOf(other)).toContain('line.apart');
  });

  test('is committed to with a salt: the same name leaves no common trace in two records', async () => {
    const commitments = async () => {
      const record = await JobRecord.create(dir, opening, { customer: { name: 'M. Example' } });
      await record.close();
      return record.state.customer?.commitments;
    };
    const [first, second] = [await commitments(), await commitments()];
    expect(Object.keys(first ?? {})).toEqual(['name']);
    expect(first?.name).not.toBe(second?.name);
  });
});

const forgedCounts = {
  checks: 3,
  passed: 0,
  failed: 0,
  undecided: 0,
  skipped: 0,
  notDone: 3,
  attempts: 0,
  gaps: 0,
  live: 0,
};
