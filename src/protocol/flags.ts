import type { InputName, LevelName, OkAnswer, ProbeIdentity } from './messages.ts';
import { capabilityBits, enumTable, flagBits } from './table.ts';

/** What holds for every reading of a batch. */
export interface ReadingFlags {
  /** What the sense input is joined to: the tips, or one of the self-check inputs. */
  input: InputName;
  level: LevelName;
  /** The source is connected to the tips. */
  excitation: boolean;
  /** Codes are of the voltage channel. */
  voltage: boolean;
  /** The bridge is closed. */
  bridge: boolean;
  /** A foreign voltage was on the tips; the excitation is off. */
  live: boolean;
  /** Both pins of tip A touch the same conductor. */
  seatA: boolean;
  seatB: boolean;
  /** Automatic range choice is on. */
  auto: boolean;
  /** At least one conversion was at the converter's end. */
  over: boolean;
}

const inputNames = ['tips', 'short', 'check', 'open'] as const satisfies readonly InputName[];
const inputMask = flagBits.inputLow | flagBits.inputHigh;

/**
 * Returns the flags of a readings notice by name; bits that the table does not list are ignored.
 */
export function readingFlags(bits: number): ReadingFlags {
  const has = (bit: number) => (bits & bit) !== 0;
  return {
    input: inputNames[bits & inputMask]!,
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

/** Returns the bits of flags: the reverse of {@link readingFlags}. */
export function readingFlagBits(flags: ReadingFlags): number {
  const bit = (on: boolean, mask: number) => (on ? mask : 0);
  return (
    enumTable.input[flags.input] |
    bit(flags.level === 'dry', flagBits.dry) |
    bit(flags.excitation, flagBits.excitation) |
    bit(flags.voltage, flagBits.voltage) |
    bit(flags.bridge, flagBits.bridge) |
    bit(flags.live, flagBits.live) |
    bit(flags.seatA, flagBits.seatA) |
    bit(flags.seatB, flagBits.seatB) |
    bit(flags.auto, flagBits.auto) |
    bit(flags.over, flagBits.over)
  );
}

/**
 * Returns the names of the bits that are set, lowest first; `bit9` for one that `names` does not
 * list.
 */
export function bitNames(bits: number, names: Readonly<Record<string, number>>): string[] {
  const byBit = new Map(Object.entries(names).map(([name, bit]) => [bit, name]));
  const found: string[] = [];
  for (let n = 0; n < 32; n++) {
    const bit = 2 ** n;
    if (Math.floor(bits / bit) % 2 === 1) found.push(byBit.get(bit) ?? `bit${n}`);
  }
  return found;
}

/** Returns whether a probe tells that both pins of a tip touch the same conductor. */
export function feelsTips({ capabilities }: Pick<ProbeIdentity, 'capabilities'>): boolean {
  return capabilities.includes('seatSense');
}

/** Returns who a probe says it is. */
export function identityOf(hello: OkAnswer<'hello'>): ProbeIdentity {
  const { protoMajor, protoMinor, fwMajor, fwMinor, fwBuild, probeSerial, bootCount, maxPayload } = hello;
  return {
    protoMajor,
    protoMinor,
    fwMajor,
    fwMinor,
    fwBuild,
    probeSerial,
    capabilities: bitNames(hello.capabilities, capabilityBits),
    resetCause: bitNames(hello.resetCause, enumTable.resetCause),
    bootCount,
    maxPayload,
  };
}
