import { codeOfOhm, rangeCalibration } from '../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readingFlags } from '../../src/protocol/flags.ts';
import type { ReadingBatch } from '../../src/protocol/reading-batch.ts';
import { flagBits } from '../../src/protocol/table.ts';

/** A reading before it is put into a batch. */
export interface RawReading {
  tUs: number;
  periodUs: number;
  range: number;
  flagBits: number;
  code: number;
  edges: number;
}

/** Seeded generator of uniform numbers in 0..1 (mulberry32, public domain) and normal ones from it (Box-Muller). */
export class Dice {
  private seed: number;
  constructor(seed: number) {
    this.seed = seed;
  }
  uniform(): number {
    this.seed = (this.seed + 0x6d2b79f5) | 0;
    let t = Math.imul(this.seed ^ (this.seed >>> 15), 1 | this.seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }
  normal(): number {
    return Math.sqrt(-2 * Math.log(1 - this.uniform())) * Math.cos(2 * Math.PI * this.uniform());
  }
}

/** Sum of 16 conversions of an exact code, each with noise (steps rms), rounded and clipped as a converter does. */
export function convert(code: number, dice: Dice, noiseLsb = 0.6): number {
  let sum = 0;
  for (let i = 0; i < 16; i++) {
    sum += Math.min(1023, Math.max(0, Math.round(code / 16 + noiseLsb * dice.normal())));
  }
  return sum;
}

export const seatedFlags = flagBits.excitation | flagBits.auto | flagBits.seatA | flagBits.seatB;
export const airFlags = flagBits.excitation | flagBits.auto;
export const periodUs = 884;

/** A probe's stream as a script writes it: readings one after another on the probe's clock. */
export class Script {
  readonly readings: RawReading[] = [];
  readonly dice: Dice;
  tUs: number;
  edges = 0;
  noiseLsb = 0.6;
  periodUs = periodUs;

  constructor(seed = 1, tUs = 1_000_000) {
    this.dice = new Dice(seed);
    this.tUs = tUs;
  }

  /** `forUs` of one resistance on one range; `ohm` may be a function of the time since the call, in microseconds. */
  ohm(forUs: number, ohm: number | ((us: number) => number), range: number, flags = seatedFlags): this {
    const entry = rangeCalibration(nominalCalibration, range, (flags & flagBits.dry) !== 0 ? 'dry' : 'normal')!;
    return this.code(forUs, (us) => codeOfOhm(typeof ohm === 'number' ? ohm : ohm(us), entry), range, flags);
  }

  volt(forUs: number, volt: number, flags = flagBits.voltage | flagBits.seatA | flagBits.seatB): this {
    const { nZero, codesPerVolt } = nominalCalibration.voltage;
    return this.code(forUs, () => nZero + codesPerVolt * volt, 4, flags);
  }

  air(forUs: number, flags = airFlags): this {
    return this.ohm(forUs, Number.POSITIVE_INFINITY, 4, flags);
  }

  /** Time without readings, as after a change of range or a break in the link. */
  gap(forUs: number): this {
    this.tUs += forUs;
    return this;
  }

  code(forUs: number, code: (us: number) => number, range: number, flags: number): this {
    const startUs = this.tUs;
    for (let i = 0; i < Math.round(forUs / this.periodUs); i++) {
      this.readings.push({
        tUs: this.tUs,
        periodUs: this.periodUs,
        range,
        flagBits: flags,
        code: convert(code(this.tUs - startUs), this.dice, this.noiseLsb),
        edges: this.edges,
      });
      this.tUs += this.periodUs;
    }
    return this;
  }

  /** The stream in batches of at most `most` readings (a number, or drawn anew for each batch). */
  batches(most: number | (() => number) = 8): ReadingBatch[] {
    const batches: ReadingBatch[] = [];
    let from = 0;
    while (from < this.readings.length) {
      const first = this.readings[from]!;
      const wanted = typeof most === 'number' ? most : most();
      let to = from + 1;
      while (to < this.readings.length && to - from < wanted && follows(this.readings[to - 1]!, this.readings[to]!))
        to++;
      batches.push(batchOf(this.readings.slice(from, to), from, first));
      from = to;
    }
    return batches;
  }
}

function follows(before: RawReading, now: RawReading): boolean {
  return (
    now.tUs === before.tUs + before.periodUs &&
    now.periodUs === before.periodUs &&
    now.range === before.range &&
    now.flagBits === before.flagBits &&
    now.edges === before.edges
  );
}

function batchOf(readings: RawReading[], index: number, first: RawReading): ReadingBatch {
  return {
    index,
    tUs: first.tUs,
    periodUs: first.periodUs,
    range: first.range,
    flagBits: first.flagBits,
    flags: readingFlags(first.flagBits),
    lost: 0,
    edges: first.edges & 0xffff,
    codes: Uint16Array.from(readings, (reading) => reading.code),
  };
}
