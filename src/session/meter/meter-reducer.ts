import type { Calibration, Level, Quantity } from '../../measure/types.ts';
import { feelsTips } from '../../protocol/flags.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { noReadings, type RecentReadings, withBatch, withoutTrace } from '../engine/recent-readings.ts';
import type { CommonEffect, FoundProbe } from '../engine/session-parts.ts';
import { freshGather, type LineGather, type MeterLine, stepGather } from './meter-line.ts';
import { freshCount, type MeterCount, stepCount } from './meter-statistics.ts';

/** What a meter measures: a quantity, and for ohms the open-circuit level. */
export interface MeterReads {
  quantity: Quantity;
  level: Level;
}

/** What a meter knows of its tips. */
export interface MeterState extends MeterReads {
  /** The probe is looked for again when the link breaks; else that ends the session. */
  reconnects: boolean;
  calibration: Calibration | null;
  feelsTips: boolean;
  live: RecentReadings;
  count: MeterCount;
  gather: LineGather;
  /** The latest line; each is an object of its own. */
  line: MeterLine | null;
  /** In words: which probe, which calibration; or what is wrong with the link. */
  link: { ok: boolean; text: string };
}

export type MeterEvent =
  | ({ type: 'connected' } & FoundProbe)
  | { type: 'disconnected'; why: string }
  | { type: 'batch'; batch: ReadingBatch }
  /** Something else is measured from now on; the statistics begin anew. */
  | ({ type: 'measure' } & MeterReads)
  /** The statistics begin anew. */
  | { type: 'zero' }
  | { type: 'quit' };

export type MeterEffect =
  | CommonEffect
  /** Sets the probe to what is measured. */
  | ({ do: 'mode' } & MeterReads)
  /** The link has broken, and is not looked for again. */
  | { do: 'give-up'; why: string };

/** Returns a meter before its first reading. */
export function freshMeter(quantity: Quantity, level: Level = 'normal', reconnects = true): MeterState {
  const link = { ok: false, text: 'looking for the probe' };
  const empty = { calibration: null, live: noReadings(), count: freshCount(), gather: freshGather(), line: null };
  return { quantity, level, reconnects, feelsTips: true, ...empty, link };
}

/** Returns the next state and what is to be done about it. Pure. */
export function stepMeterSession(before: MeterState, event: MeterEvent): { state: MeterState; effects: MeterEffect[] } {
  switch (event.type) {
    case 'connected': {
      const { identity, path, inForce } = event;
      const { calibration, text } = inForce;
      const linked = linkMeter(before, true, `probe ${serialText(identity.probeSerial)} on ${path}; ${text}`);
      return { state: { ...linked, calibration, feelsTips: feelsTips(identity) }, effects: [modeOf(before)] };
    }
    case 'measure': {
      const { quantity, level } = event;
      const { reconnects, feelsTips, calibration, link } = before;
      // what was seen of the other quantity says nothing of this one
      const state = { ...freshMeter(quantity, level, reconnects), feelsTips, calibration, link };
      return { state, effects: link.ok ? [modeOf(state)] : [] };
    }
    case 'disconnected':
      if (!before.reconnects) {
        return { state: linkMeter(before, false, event.why), effects: [{ do: 'give-up', why: event.why }] };
      }
      return { state: linkMeter(before, false, `${event.why}; the probe is looked for`), effects: [] };
    case 'batch': {
      const { calibration } = before;
      return { state: calibration === null ? before : stepMeter(before, event.batch, calibration), effects: [] };
    }
    case 'zero':
      return { state: zeroMeter(before), effects: [] };
    case 'quit':
      return { state: before, effects: [{ do: 'finish' }] };
  }
}

function modeOf({ quantity, level }: MeterReads): MeterEffect {
  return { do: 'mode', quantity, level };
}

/** Returns the meter after one more batch. */
export function stepMeter(meter: MeterState, batch: ReadingBatch, calibration: Calibration): MeterState {
  const { gather, line } = stepGather(meter.gather, batch, calibration);
  return {
    ...meter,
    gather,
    line: line ?? meter.line,
    live: withBatch(meter.live, batch, calibration),
    count: stepCount(meter.count, batch, calibration, meter.quantity, meter.feelsTips),
  };
}

/**
 * Returns the meter after the link came or went; without a link the trace is empty, statistics
 * stay.
 */
export function linkMeter(meter: MeterState, ok: boolean, text: string): MeterState {
  return { ...meter, link: { ok, text }, live: ok ? meter.live : withoutTrace(meter.live) };
}

/** Returns the meter with its statistics begun anew. */
export function zeroMeter(meter: MeterState): MeterState {
  return { ...meter, count: freshCount() };
}
