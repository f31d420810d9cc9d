import { frameTable } from './table.ts';

const poly = Number(frameTable.crc.poly);
/** Value that a frame's check starts from. */
const crcInit = Number(frameTable.crc.init);

const table = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte << 8;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x8000 ? (crc << 1) ^ poly : crc << 1;
  return crc;
});

/**
 * Returns the CRC-16/IBM-3740 (poly 0x1021, init 0xffff, not reflected, no final xor) of `bytes`
 * from `start` to before `end`. Over data followed by its own check value, high byte first, it is
 * 0. Pass an earlier result as `crc` to go on from it.
 */
export function crc16(bytes: Uint8Array, start = 0, end = bytes.length, crc = crcInit): number {
  let sum = crc;
  for (let i = start; i < end; i++) sum = ((sum << 8) & 0xffff) ^ table[(sum >> 8) ^ bytes[i]!]!;
  return sum;
}
