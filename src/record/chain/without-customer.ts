import { withoutPersonalData } from './chain.ts';

const newline = 0x0a;

/** Returns a record without its customer's words: the chain and the signature hold as before. */
export function withoutCustomer(bytes: Uint8Array): Uint8Array {
  const lines: Uint8Array[] = [];
  for (let offset = 0; offset < bytes.length; ) {
    const end = bytes.indexOf(newline, offset);
    const next = end === -1 ? bytes.length : end;
    lines.push(withoutPersonalData(bytes.subarray(offset, next)), bytes.subarray(next, end === -1 ? next : next + 1));
    offset = next + 1;
  }
  return Buffer.concat(lines);
}
