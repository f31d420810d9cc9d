import { frameTable } from './table.ts';

const { end, esc, escEnd, escEsc } = frameTable;

/** Returns the frame of a payload after RFC 1055: END, the payload with END and ESC escaped, END. */
export function encodeSlip(payload: Uint8Array): Uint8Array {
  const out = new Uint8Array(2 * payload.length + 2);
  let n = 0;
  out[n++] = end;
  for (const byte of payload) {
    if (byte === end || byte === esc) {
      out[n++] = esc;
      out[n++] = byte === end ? escEnd : escEsc;
    } else out[n++] = byte;
  }
  out[n++] = end;
  return out.slice(0, n);
}
