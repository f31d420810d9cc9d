import { readingBudget } from '../../measure/reading/budget-lines.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import type { Limits, Quantity, Reading } from '../../measure/types.ts';
import { liveReading, type TipContact, tipContact } from '../../session/engine/recent-readings.ts';
import type { MeterReads, MeterState } from '../../session/meter/meter-reducer.ts';
import { type MeterCount, statisticsOf } from '../../session/meter/meter-statistics.ts';
import type { KeyPress } from '../job/keyboard.ts';
import { type Needle, needleAt, openScale, type Scale, scaleFor } from '../readings/scale.ts';
import { type TracePoint, tracePoints } from '../readings/trace.ts';
import { plainLine } from '../text/plain-line.ts';
import { contactTexts } from '../words/contact.ts';
import { type HelpView, meterKeys } from '../words/key-help.ts';
import { type ReadingParts, readingParts } from '../words/reading.ts';

/**
 * The keyboard of the meter screen. `held`: the reading that is kept in sight, with what the tips
 * were on then.
 */
export interface MeterUi {
  held: Held | null;
  /** What the uncertainty is made of is shown in place of scale, trace and statistics. */
  budget: boolean;
  help: boolean;
  message: string | null;
}

type Held = Pick<MeterView, 'reading' | 'needle' | 'contact'> & { source: Reading | null };

/** Everything that the meter screen shows, as plain data. */
export interface MeterView {
  title: string;
  link: { ok: boolean; text: string };
  reading: ReadingParts & { held: boolean };
  contact: { state: TipContact; text: string; settling: boolean; progress: number };
  live: boolean;
  scale: Scale;
  needle: Needle | null;
  trace: TracePoint[];
  statistics: { label: string; text: string }[];
  /**
   * The budget of the reading in sight, line by line (empty where nothing is read); null: not asked
   * for.
   */
  budget: readonly string[] | null;
  /** The reading in sight as measured. */
  source: Reading | null;
  message: string | null;
  help: HelpView | null;
}

/** What a key asks of the program. */
export type MeterAction = 'zero' | 'export' | 'measure';

/** Returns the keyboard of a meter at rest. */
export function freshMeterUi(): MeterUi {
  return { held: null, budget: false, help: false, message: null };
}

/** Returns what the meter screen shows. `limits` (default none) draws a band. Pure. */
export function meterView(meter: MeterState, ui: MeterUi, limits?: Limits): MeterView {
  const { live, quantity, link } = meter;
  const scale = limits === undefined ? openScale(quantity) : scaleFor(limits);
  const state = link.ok ? tipContact(live, meter.feelsTips, quantity) : 'none';
  const reading = state === 'none' || state === 'air' ? null : liveReading(live);
  const fits = reading !== null && reading.state !== 'unreadable' && reading.quantity === quantity;
  const value = reading?.state === 'above-range' ? Number.POSITIVE_INFINITY : (reading?.value ?? 0);
  const now: Held = {
    reading: { ...readingParts(reading), held: false },
    needle: fits ? needleAt(scale, value) : null,
    contact: { state, text: contactTexts[state], settling: false, progress: 0 },
    source: reading,
  };
  const shown = ui.held === null ? now : { ...ui.held, reading: { ...ui.held.reading, held: true } };
  return {
    ...shown,
    title: titleOf(meter),
    link: { ok: link.ok, text: plainLine(link.text) },
    live: state === 'live',
    scale,
    trace: tracePoints(live, scale, meter.feelsTips),
    statistics: statisticLines(meter.count, quantity),
    budget: !ui.budget ? null : shown.source === null ? [] : readingBudget(shown.source),
    message: ui.message,
    help: ui.help ? { sections: [{ heading: 'Keys', pairs: meterKeys }], page: 0 } : null,
  };
}

/** Returns what a key does on the meter screen. Pure. */
export function meterStep(
  before: MeterUi,
  key: KeyPress,
  view: MeterView,
): { ui: MeterUi; action?: MeterAction; leave?: boolean } {
  const ui = { ...before, message: null };
  if (key.ctrl === true) return key.input === 'c' ? { ui, leave: true } : { ui: before };
  if (ui.help) return { ui: { ...ui, help: false } };
  switch (key.input.toLowerCase()) {
    case 'h': {
      const { reading, needle, contact, source } = view;
      return { ui: { ...ui, held: ui.held === null ? { reading, needle, contact, source } : null } };
    }
    case 'z':
      return { ui: { ...ui, message: 'statistics begun anew' }, action: 'zero' };
    case 'm':
      return { ui: { ...ui, held: null }, action: 'measure' };
    case 'u':
      return { ui: { ...ui, budget: !ui.budget } };
    case 'e':
      return { ui, action: 'export' };
    case '?':
      return { ui: { ...ui, help: true } };
    case 'q':
      return { ui, leave: true };
    default:
      return { ui };
  }
}

function titleOf({ quantity, level }: MeterReads): string {
  if (quantity === 'voltage') return 'Meter: volts from tip B to tip A';
  return `Meter: ohms between the tips${level === 'dry' ? ', dry level' : ''}`;
}

const inTurn: readonly MeterReads[] = [
  { quantity: 'resistance', level: 'normal' },
  { quantity: 'resistance', level: 'dry' },
  { quantity: 'voltage', level: 'normal' },
];

/** Returns what is measured after this, in turn: ohms, ohms at the dry level, volts. */
export function measuredNext({ quantity, level }: MeterReads): MeterReads {
  const at = inTurn.findIndex((one) => one.quantity === quantity && (quantity === 'voltage' || one.level === level));
  return inTurn[(at + 1) % inTurn.length]!;
}

function statisticLines(count: MeterCount, quantity: Quantity): MeterView['statistics'] {
  const { min, max, mean, spread, contacts, count: values } = statisticsOf(count);
  const text = (value: number) => (values === 0 ? '---' : formatQuantity(value, quantity));
  // a spread of few values is itself known to two digits at most
  const short = Number(spread.toPrecision(2));
  return [
    { label: 'min', text: text(min) },
    { label: 'max', text: text(max) },
    { label: 'mean', text: text(mean) },
    { label: 'spread', text: text(short) },
    { label: 'touches', text: String(contacts) },
    { label: 'values', text: String(values) },
  ];
}
