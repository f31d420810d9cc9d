import { hash } from 'node:crypto';

/**
 * Returns the SHA-256 (FIPS 180-4) of bytes or of the UTF-8 of a text, in small hexadecimal digits.
 */
export function sha256(data: Uint8Array | string): string {
  return hash('sha256', data, 'hex');
}
