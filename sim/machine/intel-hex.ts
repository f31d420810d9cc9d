import { OhmwrightError } from '../../src/errors/ohmwright-error.ts';

/** Flash of the ATmega328P in 16-bit words. */
const flashWords = 0x4000;

const bad = (line: number, what: string): OhmwrightError =>
  new OhmwrightError('sim.image', `firmware image, line ${line}: ${what}`, {
    help: 'Give an Intel HEX file as written by avr-objcopy -O ihex, unchanged.',
  });

/**
 * Returns the program memory (0x4000 words, erased words are 0xffff) held by an Intel HEX text.
 *
 * Every record's length and checksum are verified, and an end record must be there.
 * @throws OhmwrightError `sim.image` with the line and what is wrong with it
 */
export function parseIntelHex(text: string): Uint16Array<ArrayBuffer> {
  const words = new Uint16Array(flashWords).fill(0xffff);
  const bytes = new Uint8Array(words.buffer);
  let base = 0;
  let ended = false;
  for (const [index, raw] of text.split(/\r?\n/).entries()) {
    const line = raw.trim();
    if (line === '' || ended) continue;
    const number = index + 1;
    if (!/^:(?:[0-9a-f]{2}){5,}$/i.test(line)) throw bad(number, 'not a record of hexadecimal pairs after a colon');
    const record = Uint8Array.from(line.slice(1).match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));
    const count = record[0]!;
    if (record.length !== count + 5) throw bad(number, `says ${count} bytes but holds ${record.length - 5}`);
    if ((record.reduce((sum, byte) => sum + byte, 0) & 0xff) !== 0) throw bad(number, 'wrong checksum');
    const address = (record[1]! << 8) | record[2]!;
    const type = record[3]!;
    if (type === 0) {
      if (base + address + count > bytes.length) throw bad(number, 'lies beyond the 32 kB of flash');
      bytes.set(record.subarray(4, 4 + count), base + address);
    } else if (type === 1) ended = true;
    else if (type === 2) base = ((record[4]! << 8) | record[5]!) << 4;
    else if (type === 4) base = ((record[4]! << 8) | record[5]!) << 16;
    else if (type !== 3 && type !== 5) throw bad(number, `unknown record type ${type}`);
  }
  if (!ended) throw bad(text.split('\n').length, 'the end record is missing: the file is cut short');
  return words;
}
