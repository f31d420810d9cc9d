import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readingFlags } from '../../src/protocol/flags.ts';
import type { ReadingBatch } from '../../src/protocol/reading-batch.ts';
import { flagBits } from '../../src/protocol/table.ts';
import { windowAt } from './dry-bench.ts';

/** Flags of readings with both tips seated. */
export const seated = flagBits.excitation | flagBits.seatA | flagBits.seatB | flagBits.auto;

/** Returns a batch of eight readings at a resistance by the nominal calibration. */
export function batchAt(ohm: number, tUs: number, bits: number = seated): ReadingBatch {
  const window = windowAt(ohm, tUs);
  return batch(window.codes.slice(0, 8), tUs, window.range, bits);
}

/** Returns a batch of eight readings of the voltage channel. */
export function volts(volt: number, tUs: number): ReadingBatch {
  const { nZero, codesPerVolt } = nominalCalibration.voltage;
  const code = Math.round(nZero + volt * codesPerVolt);
  const bits = flagBits.voltage | flagBits.seatA | flagBits.seatB;
  return batch(
    Array.from({ length: 8 }, (_, i) => code + (i % 3) - 1),
    tUs,
    0,
    bits,
  );
}

function batch(codes: number[], tUs: number, range: number, bits: number): ReadingBatch {
  return {
    index: 0,
    tUs,
    periodUs: 884,
    range,
    flags: readingFlags(bits),
    flagBits: bits,
    lost: 0,
    edges: 0,
    codes: Uint16Array.from(codes),
  };
}
