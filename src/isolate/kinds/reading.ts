import { meterOhm } from '../../checks/circuit-reading.ts';
import type { ReadingEvidence } from '../../checks/evidence.ts';
import type { Check } from '../../guide/types.ts';
import type { Frame } from '../belief/seen.ts';
import type { Channel } from '../predict/channel.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { ChannelCell } from '../suspects/scale.ts';
import { altered } from './altered.ts';
import type { KindModel } from './kind-model.ts';
import { isValue, measuredWords, wanted } from './measured-words.ts';
import { addPieces, blur, type OutcomeSplit, pieces } from './outcome-pieces.ts';

type ReadingKind = ReadingEvidence['kind'];
type ReadingCheck = Extract<Check, { kind: ReadingKind }>;

/** Readings of one check that are this many times apart contradict each other. */
const apartFactor = 2;

/** Ohms or volts of one touch; `channels` says between what. */
function readingModel<K extends ReadingKind>(channels: KindModel<K>['channels']): KindModel<K> {
  return { ...ofReading, channels } as KindModel<K>;
}

const ofReading: Omit<KindModel<ReadingKind>, 'channels'> = {
  takes: 'a reading',
  touches: true,
  measured: ({ reading }) => (reading === null ? [] : [reading]),
  isMute: () => false,
  isSpoken: () => true,
  contradicts: isApart,
  likelihood: ({ rules }, check, evidence, { cells }) => readingLikelihood(rules, check, evidence, cells[0]!),
  chance(_frame, evidence, density) {
    const isRead = evidence.reading !== null && isValue(evidence.reading);
    if (!isRead) return evidence.unsteady ? 0.1 : 1;
    const quantity = evidence.quantity === 'voltage' ? 'volt' : 'ohm';
    return (evidence.unsteady ? 0.1 : 0.9) * density(quantity, evidence.reading!);
  },
  split: readingSplit,
  words(check, { reading, quantity, unsteady }) {
    const read = reading === null ? 'never settled' : `read ${measuredWords(reading, quantity)}`;
    return `${read}${unsteady && reading !== null ? ' and was unsteady' : ''}${wanted(check)}`;
  },
};

const ohmOf = (
  _guide: unknown,
  { level, pads, pressed, access }: Extract<ReadingCheck, { level: unknown }>,
): Channel[] => [{ name: 'ohm', quantity: 'ohm', finding: { power: 'off', pressed, access }, level, between: pads }];

export const resistanceModel = readingModel<'resistance'>(ohmOf);
export const steadyModel = readingModel<'steady'>(ohmOf);
export const voltageModel = readingModel<'voltage'>((_guide, { power, pressed, access, pads }) => [
  {
    name: 'volt',
    quantity: 'volt',
    finding: { power, pressed, access },
    level: 'normal',
    between: pads,
    meterOhm,
  },
]);

function readingLikelihood(
  { touch }: IsolationRules,
  check: ReadingCheck,
  evidence: ReadingEvidence,
  cell: ChannelCell,
): number {
  const { unsteady } = evidence;
  // what can't be read, or lies below what a resistance can be, tells no value and no steadiness
  const reading = evidence.reading !== null && isValue(evidence.reading) ? evidence.reading : null;
  const quantity = evidence.quantity === 'voltage' ? 'volt' : 'ohm';
  const p = unsteadyChance(touch, check, cell);
  if (reading === null) return unsteady ? p : 1;
  if (!unsteady) return (1 - p) * altered(touch, check.limits, quantity, cell, reading, touch.badMoments, 0);
  return (
    p *
    altered(
      touch,
      check.limits,
      quantity,
      cell,
      reading,
      0.5,
      quantity === 'ohm' ? touch.unsteadyOhmSigma : touch.unsteadyVolt,
    )
  );
}

/**
 * Returns the chance that a touch is unsteady; one that is held and flexed shows it more surely.
 */
function unsteadyChance(
  { usualUnsteady, flexedTouches }: IsolationRules['touch'],
  check: ReadingCheck,
  { unsteady }: Pick<ChannelCell, 'unsteady'>,
): number {
  const shown = check.kind === 'steady' ? 1 - (1 - unsteady) ** flexedTouches : unsteady;
  return Math.min(0.99, usualUnsteady + (1 - usualUnsteady) * shown);
}

function readingSplit({ guide, rules: { touch } }: Frame, check: ReadingCheck): OutcomeSplit {
  const quantity = check.kind === 'voltage' ? 'volt' : 'ohm';
  const { classes, edges } = pieces(quantity, check.limits);
  return {
    classes: [{ id: 'unsteady', isPass: false }, ...classes],
    probabilities({ cells }, into) {
      const p = unsteadyChance(touch, check, cells[0]!);
      into.fill(0);
      into[0] = p;
      addPieces(touch, quantity, edges, cells[0]!, 1 - p, into, 1);
      blur(guide.wrongPad, into);
    },
  };
}

function isApart(a: ReadingEvidence, b: ReadingEvidence): boolean {
  if (a.unsteady || b.unsteady || a.reading === null || b.reading === null) return false;
  const [low, high] = [a.reading, b.reading].sort((x, y) => x.value - y.value) as [typeof a.reading, typeof a.reading];
  if (low.state === 'above-range') return false;
  const apart = high.value - low.value > 4 * Math.hypot(high.u, low.u);
  if (a.quantity === 'voltage') return apart && high.value - low.value > 0.2;
  return apart && high.value > apartFactor * Math.max(low.value, 0.05);
}
