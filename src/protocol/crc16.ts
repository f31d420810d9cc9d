const table = new Uint16Array(256);
for (let i = 0; i < 256; i++) {
  let crc = i << 8;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1;
  table[i] = crc;
}

/**
 * Returns the CRC-16/IBM-3740 of bytes `start`..`end` (end not included): polynomial 0x1021, initial 0xFFFF, not reflected, no
 * final XOR. Over data followed by its own check value, high byte first, it is 0. Parameters: the catalogue of parametrised CRC
 * algorithms.
 *
 * @param crc what to go on from; 0xFFFF begins anew
 */
export function crc16(bytes: Uint8Array, start = 0, end = bytes.length, crc = 0xffff): number {
  let value = crc;
  for (let i = start; i < end; i++) value = ((value << 8) & 0xffff) ^ table[(value >> 8) ^ bytes[i]!]!;
  return value;
}
