import { chmodSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import {
  fingerprintOf,
  isSignedBy,
  openBenchKey,
  publicKeyOfPem,
  publicPem,
} from '../../../src/record/signing/bench-key.ts';
import { notApplicable } from '../../support/needs.ts';
import { scratch } from '../../support/scratch.ts';

let dir: string;
beforeEach(() => {
  dir = scratch();
});

const refusedWith = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    return (error as { code: string }).code;
  }
  return 'not refused';
};

describe('the key of a bench', () => {
  test('is made on first use, for its owner alone, and is the same one ever after', () => {
    const path = join(dir, 'settings', 'bench-key.pem');
    const first = openBenchKey(path);
    const again = openBenchKey(path);
    expect(again.publicKey).toBe(first.publicKey);
    if (process.platform !== 'win32') {
      expect(statSync(path).mode & 0o777).toBe(0o600);
      expect(statSync(join(dir, 'settings')).mode & 0o077).toBe(0);
    }
    const message = Buffer.from('a record');
    expect(isSignedBy(first.publicKey, message, again.sign(message))).toBe(true);
    expect(openBenchKey(join(dir, 'other.pem')).publicKey).not.toBe(first.publicKey);
  });

  test('has a fingerprint in groups, and a PEM that gives the key again', () => {
    const { publicKey, fingerprint } = openBenchKey(join(dir, 'k.pem'));
    expect(fingerprint).toMatch(/^([0-9a-f]{4} ){7}[0-9a-f]{4}$/);
    expect(fingerprintOf(publicKey)).toBe(fingerprint);
    expect(publicKeyOfPem(publicPem(publicKey))).toBe(publicKey);
    expect(publicKeyOfPem('no key')).toBeNull();
  });

  test.skipIf(
    notApplicable(process.platform !== 'win32', 'Windows has no mode of a file', 'who may read a key is not tested'),
  )('is refused when others may read it', () => {
    const path = join(dir, 'k.pem');
    openBenchKey(path);
    chmodSync(path, 0o640);
    expect(refusedWith(() => openBenchKey(path))).toBe('key.open-to-others');
  });

  test('is refused when the file holds something else, and the file stays as it is', () => {
    const path = join(dir, 'k.pem');
    writeFileSync(path, 'my shopping list\n', { mode: 0o600 });
    expect(refusedWith(() => openBenchKey(path))).toBe('key.form');
    expect(readFileSync(path, 'utf8')).toBe('my shopping list\n');
    expect(refusedWith(() => openBenchKey(join(path, 'under-a-file.pem')))).toBe('record.disk');
  });
});
