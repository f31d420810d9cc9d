import { capabilityBits, enumTable, flagBits } from './table.ts';

/** The flags of a batch of readings, by name. */
export interface ReadingFlags {
  input: 'tips' | 'short' | 'check' | 'open';
  level: 'normal' | 'dry';
  excitation: boolean;
  voltage: boolean;
  bridge: boolean;
  live: boolean;
  seatA: boolean;
  seatB: boolean;
  auto: boolean;
  over: boolean;
}

/** Readings that came together: all of one range and one set of flags, evenly spaced in the probe's time. */
export interface ReadingBatch {
  /** Number of the first reading since streaming began, unwrapped. */
  index: number;
  /** Probe time of the first reading in microseconds since boot, unwrapped. */
  tUs: number;
  periodUs: number;
  range: number;
  flags: ReadingFlags;
  flagBits: number;
  /** Readings that the probe dropped before these. */
  lost: number;
  /** Running 16-bit count of drop-out edges. */
  edges: number;
  codes: Uint16Array;
}

const inputs = ['tips', 'short', 'check', 'open'] as const satisfies (keyof typeof enumTable.input)[];

/** Returns the flags of a bit field. */
export function readingFlags(bits: number): ReadingFlags {
  const has = (bit: number) => (bits & bit) !== 0;
  const input = (has(flagBits.inputLow) ? 1 : 0) + (has(flagBits.inputHigh) ? 2 : 0);
  return {
    input: inputs[input]!,
    level: has(flagBits.dry) ? 'dry' : 'normal',
    excitation: has(flagBits.excitation),
    voltage: has(flagBits.voltage),
    bridge: has(flagBits.bridge),
    live: has(flagBits.live),
    seatA: has(flagBits.seatA),
    seatB: has(flagBits.seatB),
    auto: has(flagBits.auto),
    over: has(flagBits.over),
  };
}

/** Returns the names of the capability bits that are set; bits that this host does not know are left out. */
export function capabilityNames(bits: number): string[] {
  return Object.entries(capabilityBits)
    .filter(([, bit]) => (bits & bit) !== 0)
    .map(([name]) => name);
}

/** Returns the names of the reset cause bits that are set. */
export function resetCauseNames(bits: number): string[] {
  return Object.entries(enumTable.resetCause)
    .filter(([, bit]) => (bits & bit) !== 0)
    .map(([name]) => name);
}
