import { crc16 } from './crc16.ts';
import { frameTable } from './table.ts';

const { end, esc, escEnd, escEsc } = frameTable;

/**
 * Returns END, the escaped payload, END (RFC 1055; END first ends whatever noise the line had
 * before).
 */
export function encodeSlip(payload: Uint8Array): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(2 * payload.length + 2);
  let n = 0;
  out[n++] = end;
  for (const byte of payload) {
    if (byte === end || byte === esc) {
      out[n++] = esc;
      out[n++] = byte === end ? escEnd : escEsc;
    } else {
      out[n++] = byte;
    }
  }
  out[n++] = end;
  return out.slice(0, n);
}

/**
 * Returns the whole frame of a payload: its CRC appended, high byte first, and SLIP around both.
 */
export function encodeFrame(payload: Uint8Array): Uint8Array<ArrayBuffer> {
  const checked = new Uint8Array(payload.length + 2);
  checked.set(payload);
  const crc = crc16(payload);
  checked[payload.length] = crc >> 8;
  checked[payload.length + 1] = crc & 0xff;
  return encodeSlip(checked);
}
