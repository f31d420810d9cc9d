import { crc16 } from './crc16.ts';
import { limitTable } from './table.ts';

/**
 * Range number of the entry that holds the built-in check resistor: `rsOhm` is its value as the
 * calibration reads it, the last of `cov` its variance; `nOff` 0 and `nOpen` 1 have no meaning. A
 * host that does not know it sees a range that no probe has.
 */
export const checkEntryRange = 255;

/** What an entry of the block is for; `voltage` is the tip-voltage channel. */
export type CalibrationLevel = 'normal' | 'dry' | 'voltage';

/**
 * One range at one level. Voltage channel: `nOff` is the code at 0 V, `nOpen` codes per volt,
 * `rsOhm` unused.
 */
export interface CalibrationEntry {
  range: number;
  level: CalibrationLevel;
  nOff: number;
  nOpen: number;
  rsOhm: number;
  /** Upper triangle of the 3x3 covariance of (nOff, nOpen, rsOhm), row by row. */
  cov: [number, number, number, number, number, number];
}

/** The calibration that a probe carries in its EEPROM. */
export interface CalibrationBlock {
  probeSerial: number;
  /** Unix time of the calibration in seconds. */
  dateUnixS: number;
  /** Days from the date on; 0: no end stated. */
  validDays: number;
  /** Temperature of the probe at calibration, degrees Celsius, steps of 0.1. */
  temperatureC: number;
  /** Which set of standards it was made with: at most 16 ASCII characters. */
  setId: string;
  entries: CalibrationEntry[];
}

/** What was found in a probe's calibration area. Only `valid` may be used. */
export type CalibrationBlockState =
  | { state: 'valid'; block: CalibrationBlock }
  | { state: 'blank' }
  | { state: 'torn' | 'foreign' | 'old'; why: string };

const magic = 'OWCB';
const format = 1;
const levels: readonly CalibrationLevel[] = ['normal', 'dry', 'voltage'];
const setIdBytes = 16;
const headBytes = 4 + 1 + 1 + 4 + 4 + 2 + 2 + setIdBytes;
const entryFloats = 9;
const entryBytes = 2 + 4 * entryFloats;
const crcBytes = 2;
/** Entries that the calibration area has room for. */
export const maxCalibrationEntries = Math.floor((limitTable.calibrationBytes - headBytes - crcBytes) / entryBytes);

/** Returns the block's length in bytes for a count of entries, CRC included. */
export function calibrationBlockBytes(entryCount: number): number {
  return headBytes + entryCount * entryBytes + crcBytes;
}

/**
 * Returns the bytes of a block, CRC last (high byte first); all else is little-endian, numbers of
 * an entry are 32-bit floats.
 * @throws RangeError when a part does not fit: too many entries, a set id that is no ASCII or too
 *   long, a number out of its field
 */
export function encodeCalibrationBlock(block: CalibrationBlock): Uint8Array<ArrayBuffer> {
  const { entries, setId } = block;
  if (entries.length > maxCalibrationEntries)
    throw new RangeError(`a block holds ${maxCalibrationEntries} entries at most`);
  if (!/^[\x20-\x7e]{0,16}$/.test(setId)) throw new RangeError('a set id is at most 16 ASCII characters');
  const bytes = new Uint8Array(calibrationBlockBytes(entries.length));
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < magic.length; i++) bytes[i] = magic.charCodeAt(i);
  bytes[4] = format;
  bytes[5] = entries.length;
  view.setUint32(6, whole(block.probeSerial, 0, 2 ** 32 - 1, 'probeSerial'), true);
  view.setUint32(10, whole(block.dateUnixS, 0, 2 ** 32 - 1, 'dateUnixS'), true);
  view.setUint16(14, whole(block.validDays, 0, 0xffff, 'validDays'), true);
  view.setInt16(16, whole(Math.round(block.temperatureC * 10), -0x8000, 0x7fff, 'temperatureC'), true);
  for (let i = 0; i < setId.length; i++) bytes[18 + i] = setId.charCodeAt(i);
  entries.forEach((entry, n) => {
    const at = headBytes + n * entryBytes;
    bytes[at] = whole(entry.range, 0, 255, 'range');
    bytes[at + 1] = levels.indexOf(entry.level);
    [entry.nOff, entry.nOpen, entry.rsOhm, ...entry.cov].forEach((number, i) => {
      view.setFloat32(at + 2 + 4 * i, number, true);
    });
  });
  view.setUint16(bytes.length - crcBytes, crc16(bytes, 0, bytes.length - crcBytes), false);
  return bytes;
}

function whole(value: number, least: number, most: number, name: string): number {
  if (!Number.isInteger(value) || value < least || value > most)
    throw new RangeError(`${name} does not fit its field: ${value}`);
  return value;
}

/**
 * Returns what a calibration area holds; bytes beyond the block are ignored. Never throws. `blank`:
 * never written (all 0xff). `foreign`: something else. `old`: a format that this version does not
 * read. `torn`: begun but not whole (cut short, check value wrong, or a number that cannot be).
 */
export function decodeCalibrationBlock(bytes: Uint8Array): CalibrationBlockState {
  if (bytes.every((byte) => byte === 0xff)) return { state: 'blank' };
  const ascii = (from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to));
  if (ascii(0, magic.length) !== magic)
    return { state: 'foreign', why: 'it does not begin with the mark of a calibration' };
  if (bytes.length < headBytes) return { state: 'torn', why: `it ends after ${bytes.length} bytes` };
  if (bytes[4] !== format)
    return { state: 'old', why: `it has format ${bytes[4]}; this version reads format ${format}` };
  const count = bytes[5]!;
  const length = calibrationBlockBytes(count);
  if (count > maxCalibrationEntries || length > bytes.length)
    return { state: 'torn', why: `it says ${count} entries, more than there is room for` };
  if (crc16(bytes, 0, length) !== 0) return { state: 'torn', why: 'its check value does not match its contents' };
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const entries: CalibrationEntry[] = [];
  for (let n = 0; n < count; n++) {
    const entry = decodeEntry(view, headBytes + n * entryBytes);
    if (entry === null) return { state: 'torn', why: `entry ${n + 1} holds a level or a number that cannot be` };
    entries.push(entry);
  }
  return {
    state: 'valid',
    block: {
      probeSerial: view.getUint32(6, true),
      dateUnixS: view.getUint32(10, true),
      validDays: view.getUint16(14, true),
      temperatureC: view.getInt16(16, true) / 10,
      setId: ascii(18, 18 + setIdBytes).replace(/\0.*$/s, ''),
      entries,
    },
  };
}

function decodeEntry(view: DataView, at: number): CalibrationEntry | null {
  const level = levels[view.getUint8(at + 1)];
  const floats = Array.from({ length: entryFloats }, (_, i) => view.getFloat32(at + 2 + 4 * i, true));
  if (level === undefined || !floats.every(Number.isFinite)) return null;
  const [nOff, nOpen, rsOhm, ...cov] = floats as [number, number, number, ...CalibrationEntry['cov']];
  return { range: view.getUint8(at), level, nOff, nOpen, rsOhm, cov };
}
