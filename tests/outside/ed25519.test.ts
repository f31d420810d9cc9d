import { createPrivateKey } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { benchKeyOf, isSignedBy } from '../../src/record/signing/bench-key.ts';
import data from './data/ed25519.json' with { type: 'json' };

/** What stands before the 32 bytes of a private key in PKCS #8. Source: RFC 8410, section 7. */
const pkcs8Head = Buffer.from('302e020100300506032b657004220420', 'hex');

// Source: RFC 8032, section 7.1.
describe.each(data.vectors)('Ed25519, $name of RFC 8032', (vector) => {
  const seed = Buffer.from(vector.seed, 'hex');
  const key = benchKeyOf(createPrivateKey({ key: Buffer.concat([pkcs8Head, seed]), format: 'der', type: 'pkcs8' }));
  const message = Buffer.from(vector.message, 'hex');
  const signature = Buffer.from(vector.signature, 'hex').toString('base64');

  test('gives the public key and the signature of the document', () => {
    expect(Buffer.from(key.publicKey, 'base64').toString('hex')).toBe(vector.public);
    expect(key.sign(message)).toBe(signature);
  });

  test('accepts that signature, and none with a bit changed in message, key or signature', () => {
    expect(isSignedBy(key.publicKey, message, signature)).toBe(true);
    expect(isSignedBy(key.publicKey, Buffer.concat([message, Buffer.of(0)]), signature)).toBe(false);
    for (let byte = 0; byte < 64; byte += 7) {
      const changed = Buffer.from(vector.signature, 'hex');
      changed[byte]! ^= 1;
      expect(isSignedBy(key.publicKey, message, changed.toString('base64'))).toBe(false);
    }
    const other = Buffer.from(vector.public, 'hex');
    other[3]! ^= 4;
    expect(isSignedBy(other.toString('base64'), message, signature)).toBe(false);
  });
});
