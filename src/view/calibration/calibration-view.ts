import type { RangeOutcome } from '../../calibrate/fit/fit-types.ts';
import { standardOhm } from '../../calibrate/points/cal-point.ts';
import { describePoint } from '../../calibrate/points/point-words.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import { nominalCalibration } from '../../measure/reading/nominal.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import {
  type CalibrationState,
  isTaken,
  pointsOf,
  standardInHand,
} from '../../session/calibration/calibration-state.ts';
import { ageText } from '../../session/engine/calibration-in-force.ts';
import type { Headline } from '../job/headline.ts';
import { plainLine } from '../text/plain-line.ts';
import { calibrationHelp, type HelpView } from '../words/key-help.ts';
import type { Mark } from '../words/mark.ts';
import type { Tone } from '../words/outcome.ts';
import { orders, standardOrder } from '../words/prompt.ts';
import type { CalibrationUi } from './calibration-keys.ts';
import { fitChance } from './fit-chance.ts';
import { verdictWords } from './verdict.ts';

/** One range and level in the table. */
export interface RangeRow {
  name: string;
  points: number;
  /** Source resistance with its relative standard uncertainty; empty without a fit. */
  source: string;
  /** Probability of the chi-square. */
  probability: string;
  /** Residuals in units of their expected size. */
  residuals: { standardised: number; used: boolean }[];
  mark: Mark;
  tone: Tone;
  verdict: string;
}

/** Everything that the screen of a calibration session shows, as plain data. */
export interface CalibrationView {
  title: string;
  probe: string;
  headline: Headline;
  /** What to do. */
  action: string;
  /** Settings read in this touch, and how far the next has settled. */
  progress: { done: number; of: number; share: number } | null;
  message: { text: string; tone: Tone } | null;
  rows: RangeRow[];
  /** Standards with what became of them. */
  standards: { label: string; mark: Mark; tone: Tone }[];
  taken: string;
  next: string;
  before: string;
  line: string | null;
  help: HelpView | null;
  leaving: boolean;
}

/** Returns what the screen of a calibration session shows. Pure. */
export function calibrationView(state: CalibrationState, ui: CalibrationUi): CalibrationView {
  const { meta, identity, before } = state;
  const hand = standardInHand(state);
  const done = state.standards.filter(isTaken).length;
  const all = state.standards.filter(({ skipped }) => !skipped).length;
  const set = meta.setId === '' ? '' : ` with set ${plainLine(meta.setId)}`;
  const isReading = state.stage === 'reading' || state.stage === 'asking' || state.stage === 'arming';
  return {
    title: `Calibration${set}, valid ${meta.validDays ?? 'without end'} days`,
    probe: identity === null ? 'no probe yet' : `probe ${serialText(identity.probeSerial)}`,
    headline: headlineOf(state),
    action: actionOf(state),
    progress:
      hand === null || !isReading
        ? null
        : {
            done: hand.taken.filter((point) => point !== null).length,
            of: hand.taken.length,
            share: Math.max(0, Math.min(1, state.progress)),
          },
    message: messageOf(state, ui),
    rows: rowsOf(state),
    standards: state.standards.map((one) => {
      if (one.id === state.at) return { label: plainLine(one.label), mark: 'now', tone: 'strong' };
      if (one.skipped) return { label: plainLine(one.label), mark: 'skipped', tone: 'quiet' };
      return isTaken(one)
        ? { label: plainLine(one.label), mark: 'pass', tone: 'plain' }
        : { label: plainLine(one.label), mark: 'none', tone: 'quiet' };
    }),
    taken: `${done} of ${all} taken`,
    next: nextText(state),
    before: before === null ? '' : `in force until now: ${ageText(before.age)}`,
    line: ui.line,
    help: ui.mode === 'help' ? { sections: calibrationHelp(calibrationKeys), page: ui.page } : null,
    leaving: ui.mode === 'leave',
  };
}

/** Keys of a calibration session. */
const calibrationKeys: readonly [string, string][] = [
  ['a', 'add a resistor: 470 ohm 0.1 %, 4K7B, or colours'],
  ['r', "read once more: also the probe's button, short"],
  ['s', "skip this standard: also the probe's button, long"],
  ['f', 'finish with what was taken'],
  ['?', 'these keys'],
  ['q', 'leave; nothing is put in force'],
];

function headlineOf(state: CalibrationState): Headline {
  const plain = (word: string): Headline => ({ word, mark: null, tone: 'strong', text: '' });
  if (state.identity === null) return plain('PROBE?');
  if (!state.connected) {
    return { word: 'NO PROBE', mark: null, tone: 'danger', text: plainLine(state.linkText) };
  }
  if (state.live) return { word: 'LIVE', mark: 'live', tone: 'danger', text: '' };
  if (state.stage === 'lifting') {
    return state.message?.isTrouble === true
      ? { word: 'LIFT', mark: null, tone: 'doubt', text: '' }
      : { word: 'TAKEN', mark: 'pass', tone: 'pass', text: '' };
  }
  if (state.stage === 'check') return plain('OFF');
  if (state.stage === 'ended') return plain('DONE');
  const hand = standardInHand(state);
  if (hand === null) return plain(state.stage === 'asking' ? 'R ?' : '');
  if (hand.standard.kind === 'short') return plain('A + B');
  if (hand.standard.kind === 'open') return plain('OFF');
  return plain(plainLine(hand.id).toUpperCase());
}

function actionOf(state: CalibrationState): string {
  const hand = standardInHand(state);
  if (!state.connected) return plainLine(state.linkText);
  if (state.live) return 'Voltage on the tips: take them off it. Nothing live is ever a standard.';
  if (state.stage === 'lifting') return orders.lift;
  if (state.stage === 'check') return standardOrder({ act: 'wait', why: 'check-resistor' }, '');
  if (hand === null)
    return state.stage === 'asking' ? 'a: type the next resistor.  f: finish with what was taken.' : '';
  if (hand.standard.kind === 'short') return standardOrder({ act: 'short-tips' }, '');
  if (hand.standard.kind === 'open') return standardOrder({ act: 'wait', why: 'open' }, '');
  const label = plainLine(hand.label);
  return state.stage === 'reading' ? `Hold still until the tone: ${label}` : standardOrder({ act: 'touch' }, label);
}

function messageOf({ message }: CalibrationState, ui: CalibrationUi): CalibrationView['message'] {
  if (ui.message !== null) return { text: ui.message, tone: 'doubt' };
  if (message === null) return null;
  return { text: plainLine(message.text), tone: message.isTrouble ? 'doubt' : 'plain' };
}

/** Every setting that was read; those without enough standards have no fit yet. */
function rowsOf(state: CalibrationState): RangeRow[] {
  const counts = new Map<string, number>();
  for (const { range, level } of pointsOf(state)) {
    if (level === 'voltage') continue;
    const name = `${range} ${level}`;
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  const fitted = (state.fit?.ranges ?? []).map(rowOf);
  const order = nominalCalibration.ranges.map(({ range, level }) => `${range} ${level}`);
  return order.flatMap((name): RangeRow[] => {
    const row = fitted.find((one) => one.name === name);
    const points = counts.get(name);
    if (row !== undefined) return [row];
    if (points === undefined) return [];
    const look = { mark: 'none', tone: 'quiet', verdict: 'more points' } as const;
    return [{ name, points, source: '', probability: '', residuals: [], ...look }];
  });
}

function rowOf(outcome: RangeOutcome): RangeRow {
  const name = `${outcome.range} ${outcome.level}`;
  if (!outcome.ok) {
    const { atBest } = outcome.problem;
    const points = outcome.pointIndexes.length;
    return { name, points, source: '', probability: '', residuals: [], verdict: atBest, ...verdictWords[atBest] };
  }
  const { rsOhm, uRsOhm, residuals, probability, verdict, dof } = outcome.fit;
  return {
    name,
    points: residuals.length,
    source: `${formatQuantity(rsOhm, 'resistance', 5)} ${Number(((100 * uRsOhm) / rsOhm).toPrecision(2))} %`,
    probability: dof === 0 ? '' : fitChance(probability),
    residuals: residuals.map(({ standardised, used }) => ({ standardised, used })),
    verdict,
    ...verdictWords[verdict],
  };
}

function nextText({ next, at, standards }: CalibrationState): string {
  if (next === null) return '';
  const inHand = standards.find(({ id }) => id === at);
  const isInHand = inHand?.standard.kind === 'resistor' && inHand.standard === next.standard;
  const isHere = standards.some(({ standard }) => standard === next.standard);
  const name = isHere
    ? describePoint({ ...next, code: 0, uCode: 0, n: 1 })
    : `a resistor near ${formatQuantity(standardOhm(next.standard), 'resistance')}`;
  const what = isInHand ? 'This one helps most' : `Next, ${name} helps most`;
  return plainLine(`${what}: range ${next.range} ${next.level} gets ${Number(next.gain.toPrecision(2))} times as good`);
}
