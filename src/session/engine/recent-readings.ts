import { codeOfOhm, ohmOfCode, rangeCalibration } from '../../measure/reading/calibration.ts';
import { readWindow } from '../../measure/reading/read-window.ts';
import type { Calibration, Quantity, Reading } from '../../measure/types.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';

/**
 * What the screen knows of the readings as they come: the last two seconds, and counts since the
 * beginning.
 */
export interface RecentReadings {
  calibration: Calibration | null;
  /** Batches of the last {@link traceUs}, oldest first. */
  batches: readonly ReadingBatch[];
  readings: number;
  /** Readings that the probe had to drop. */
  lost: number;
  /** Probe time after the last reading, in microseconds; 0 before the first. */
  tUs: number;
}

/**
 * What lies between the tips now. `air`: a probe that feels its tips says that they touch nothing,
 * or only one does.
 */
export type TipContact = 'none' | 'live' | 'air' | 'a-only' | 'b-only' | 'open' | 'closed';

/** Length of the trace, in microseconds of probe time. */
export const traceUs = 2_000_000;
/**
 * Length of the window whose mean is shown while nothing is captured: long enough that the digits
 * can be read.
 */
const shownUs = 48_000;
/** Path closed below this share of the open level: as the contact settings have it. */
const closedBelow = 0.9;

/** Returns the state before the first reading. */
export function noReadings(): RecentReadings {
  return { calibration: null, batches: [], readings: 0, lost: 0, tUs: 0 };
}

/**
 * Returns the state after one more batch. Nothing is computed of the codes here, so that evidence
 * never waits for the screen: {@link liveReading} and {@link liveValues} do that when a frame is
 * drawn.
 */
export function withBatch(live: RecentReadings, batch: ReadingBatch, calibration: Calibration | null): RecentReadings {
  const tUs = batch.tUs + batch.codes.length * batch.periodUs;
  // a probe that started anew counts from zero again
  const kept = batch.tUs < live.tUs - batch.periodUs ? [] : live.batches;
  const from = kept.findIndex((old) => old.tUs > tUs - traceUs);
  const batches = from === -1 ? [batch] : [...kept.slice(from), batch];
  return { calibration, batches, readings: live.readings + batch.codes.length, lost: live.lost + batch.lost, tUs };
}

/**
 * Returns the state with an empty trace, counts kept: for a link that went away, whose last
 * readings are not the present.
 */
export function withoutTrace(live: RecentReadings): RecentReadings {
  return { ...live, batches: [] };
}

/**
 * Returns the reading over the last like batches (at most {@link shownUs}); null without readings
 * or while nothing is measured.
 */
export function liveReading(live: RecentReadings): Reading | null {
  const last = live.batches.at(-1);
  if (last === undefined || live.calibration === null || !isMeasuring(last)) return null;
  const codes: number[] = [];
  let tUs = last.tUs;
  let flagBits = 0;
  for (let i = live.batches.length - 1; i >= 0 && codes.length * last.periodUs < shownUs; i--) {
    const batch = live.batches[i]!;
    if (batch.range !== last.range || !sameMode(batch, last)) break;
    codes.unshift(...batch.codes);
    flagBits |= batch.flagBits;
    tUs = batch.tUs;
  }
  const { range, periodUs, flags } = last;
  return readWindow({ tUs, periodUs, range, level: flags.level, flagBits, codes }, live.calibration);
}

/**
 * Returns what is between the tips by the last batch. Without seat sense, tips in the air and an
 * open path are both `open`. The probe flags every voltage as live; where volts are `wanted`, it is
 * what is measured.
 */
export function tipContact(live: RecentReadings, feelsTips: boolean, wanted: Quantity): TipContact {
  const last = live.batches.at(-1);
  if (last === undefined) return 'none';
  const { flags } = last;
  if (flags.live && wanted !== 'voltage') return 'live';
  if (flags.input !== 'tips') return 'none';
  if (feelsTips && !(flags.seatA && flags.seatB)) {
    if (flags.seatA) return 'a-only';
    return flags.seatB ? 'b-only' : 'air';
  }
  if (flags.voltage) return 'closed';
  const entry = live.calibration && rangeCalibration(live.calibration, last.range, flags.level);
  if (!entry || !flags.excitation) return 'none';
  return meanCode(last) < entry.nOff + (entry.nOpen - entry.nOff) * closedBelow ? 'closed' : 'open';
}

/**
 * One point of the trace: probe time, and ohm or volt; null where nothing was measured. An open is
 * Infinity.
 */
export interface LivePoint {
  tUs: number;
  value: number | null;
}

/**
 * Returns one point a batch over the last two seconds, for a quantity. Readings of the other
 * quantity are null, and so are tips in the air where the probe feels that.
 */
export function liveValues(live: RecentReadings, quantity: Quantity, feelsTips: boolean): LivePoint[] {
  return live.batches.map((batch) => {
    const { input, seatA, seatB } = batch.flags;
    const inAir = feelsTips && input === 'tips' && !(seatA && seatB);
    return { tUs: batch.tUs, value: inAir ? null : batchValue(batch, quantity, live.calibration) };
  });
}

/** Returns the mean of a batch in ohm or volt; null when it holds another quantity or nothing. */
export function batchValue(batch: ReadingBatch, quantity: Quantity, calibration: Calibration | null): number | null {
  if (calibration === null || !isMeasuring(batch) || batch.flags.voltage !== (quantity === 'voltage')) return null;
  const code = meanCode(batch);
  if (quantity === 'voltage') return (code - calibration.voltage.nZero) / calibration.voltage.codesPerVolt;
  const entry = rangeCalibration(calibration, batch.range, batch.flags.level);
  if (entry === null) return null;
  // beyond ten megohm the codes say no more than 'open'
  if (code >= codeOfOhm(10e6, entry)) return Number.POSITIVE_INFINITY;
  return ohmOfCode(code, entry) - calibration.leadOhm;
}

function meanCode(batch: ReadingBatch): number {
  let sum = 0;
  for (const code of batch.codes) sum += code;
  return sum / batch.codes.length;
}

function isMeasuring({ codes, flags }: ReadingBatch): boolean {
  return codes.length > 0 && (flags.excitation || flags.voltage);
}

function sameMode(a: ReadingBatch, b: ReadingBatch): boolean {
  return (
    isMeasuring(a) &&
    a.periodUs === b.periodUs &&
    a.flags.voltage === b.flags.voltage &&
    a.flags.level === b.flags.level &&
    a.flags.input === b.flags.input &&
    a.flags.seatA === b.flags.seatA &&
    a.flags.seatB === b.flags.seatB
  );
}
