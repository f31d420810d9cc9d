import type { Evidence, EvidenceOf, Measured, ReadingEvidence } from '../../checks/evidence.ts';
import type { Check, Guide } from '../../guide/types.ts';
import { bell, quickCdf } from '../../statistics/distributions/normal-table.ts';
import type { IsolationRules } from '../rules.ts';
import { type ChannelCell, scaleOf } from '../suspects/scale.ts';
import { chanceInside, filmlessMass, insideMass, isFilmless, isInsideClass, limitsOf } from './inside-limits.ts';
import { chanceDensity, densityOf, measuredSigma, spreadCdf } from './outcome-density.ts';
import { betaBinomial, isClosure, outsideChance } from './presses-outcome.ts';

/** What a likelihood is worked out under. */
export interface Frame {
  guide: Guide;
  rules: IsolationRules;
}

/**
 * What a check sees under one hypothesis: a cell for each of its channels, and whether eyes see the
 * fault.
 */
export interface Seen {
  cells: readonly ChannelCell[];
  isSeen: boolean;
  /** The input never answers. */
  isMute?: boolean;
  /** Something unknown may show in it. */
  isAny?: boolean;
}

/**
 * Returns how probable a piece of evidence is under a hypothesis: a density on the scale of its
 * channels, times probabilities of what is counted or answered. 1 for every hypothesis where the
 * evidence says nothing.
 *
 * Each touch is, with the guide's `wrongPad` chance, taken as one of other pads. The evidence must
 * be of the check's kind.
 */
export function likelihood(frame: Frame, check: Check, evidence: Evidence, seen: Seen): number {
  const { guide, rules } = frame;
  // eyes are asked for one thing, and what says nothing says nothing of this either
  if (seen.isAny === true && check.kind !== 'look' && !(evidence.kind === 'bridge' && saysNothing(check, evidence))) {
    const { anyShows } = rules.unknown;
    return (
      (1 - anyShows) * likelihood(frame, check, evidence, { ...seen, isAny: false }) +
      anyShows * chance(frame, evidence, check)
    );
  }
  const { wrongPad } = guide;
  const mixed = (right: number): number => (1 - wrongPad) * right + wrongPad * chance(frame, evidence, check);
  switch (evidence.kind) {
    case 'resistance':
    case 'voltage':
    case 'steady':
      return mixed(readingLikelihood(rules, check, evidence, seen.cells[0]!));
    case 'dry-normal':
      return mixed(levelsLikelihood(rules, check, evidence, seen.cells));
    case 'presses':
      return mixed(pressesLikelihood(rules, check, evidence, seen.cells));
    case 'look':
      return answerLikelihood(guide, check, evidence.answer, seen.isSeen);
    case 'bridge':
      return saysNothing(check, evidence) ? 1 : mixed(responseLikelihood(frame, check, evidence, seen));
  }
}

/**
 * Returns how probable a piece of evidence is by chance: the tips on any pads, a person who
 * guesses. What a hypothesis should beat.
 */
export function chance(frame: Frame, evidence: Evidence, check: Check): number {
  const { guide, rules } = frame;
  const { touch } = rules;
  const density = (quantity: 'ohm' | 'volt', measured: Measured): number =>
    touch.limitsSpeak && isInsideClass(quantity, limitsOf(check), measured)
      ? chanceInside(touch, quantity, limitsOf(check))
      : chanceDensity(touch, quantity, measured);
  switch (evidence.kind) {
    case 'resistance':
    case 'voltage':
    case 'steady': {
      const quantity = evidence.quantity === 'voltage' ? 'volt' : 'ohm';
      const isRead = evidence.reading !== null && isValue(evidence.reading);
      if (!isRead) return evidence.unsteady ? 0.1 : 1;
      return (evidence.unsteady ? 0.1 : 0.9) * density(quantity, evidence.reading!);
    }
    case 'dry-normal':
      return density('ohm', evidence.normal) * (evidence.dry.state === 'in-range' ? 0.5 : 0.3);
    case 'presses':
      return (1 / (evidence.count + 1)) * (evidence.closed === null ? 0.3 : density('ohm', evidence.closed));
    case 'look':
      return evidence.answer === 'unsure' ? 1 : 0.5;
    case 'bridge': {
      const idle = evidence.idle === null ? 1 : density('volt', evidence.idle);
      return evidence.answer === 'unsure' || !evidence.proven ? idle : 0.5 * idle * (1 - guide.wrongPad);
    }
  }
}

function readingLikelihood(
  { touch }: IsolationRules,
  check: Check,
  evidence: ReadingEvidence,
  cell: ChannelCell,
): number {
  const { unsteady } = evidence;
  // what can't be read, or lies below what a resistance can be, tells no value and no steadiness
  const reading = evidence.reading !== null && isValue(evidence.reading) ? evidence.reading : null;
  const quantity = evidence.quantity === 'voltage' ? 'volt' : 'ohm';
  const p = unsteadyChance(touch, check, cell);
  if (reading === null) return unsteady ? p : 1;
  if (!unsteady) return (1 - p) * altered(touch, check, quantity, cell, reading, touch.badMoments, 0);
  return (
    p *
    altered(
      touch,
      check,
      quantity,
      cell,
      reading,
      0.5,
      quantity === 'ohm' ? touch.unsteadyOhmSigma : touch.unsteadyVolt,
    )
  );
}

function isValue({ state }: Measured): boolean {
  return state === 'in-range' || state === 'above-range';
}

/**
 * Returns the chance that a touch is unsteady; one that is held and flexed shows it more surely.
 */
export function unsteadyChance(
  { usualUnsteady, flexedTouches }: IsolationRules['touch'],
  check: Check,
  { unsteady }: Pick<ChannelCell, 'unsteady'>,
): number {
  const shown = check.kind === 'steady' ? 1 - (1 - unsteady) ** flexedTouches : unsteady;
  return Math.min(0.99, usualUnsteady + (1 - usualUnsteady) * shown);
}

/** A contact that comes and goes reads as it does in its bad moments in so many touches. */
function altered(
  touch: IsolationRules['touch'],
  check: Check,
  quantity: 'ohm' | 'volt',
  cell: ChannelCell,
  measured: Measured,
  bad: number,
  extraSigma: number,
): number {
  const saysInside = touch.limitsSpeak && isInsideClass(quantity, limitsOf(check), measured);
  const under = (one: ChannelCell): number =>
    saysInside
      ? insideMass(quantity, limitsOf(check), one, measured, extraSigma)
      : densityOf(quantity, one, measured, extraSigma);
  const usual = under(cell);
  if (Number.isNaN(cell.alt)) return usual;
  return (1 - bad) * usual + bad * under({ ...cell, low: cell.alt, high: cell.alt });
}

function levelsLikelihood(
  { touch }: IsolationRules,
  check: Check,
  { dry, normal }: EvidenceOf<'dry-normal'>,
  cells: readonly ChannelCell[],
): number {
  const [atNormal, atDry] = cells as [ChannelCell, ChannelCell];
  const isSame = Math.abs(atNormal.low - atDry.low) < 1e-6 && Math.abs(atNormal.high - atDry.high) < 1e-6;
  const first = altered(touch, check, 'ohm', atNormal, normal, touch.badMoments, 0);
  if (touch.limitsSpeak && check.kind === 'dry-normal' && isFilmless(check.factor, dry, normal)) {
    return first * (isSame ? 1 : filmlessMass(check.factor, atDry, normal));
  }
  if (!isSame) return first * densityOf('ohm', atDry, dry);
  // one touch, one contact: the device's own deviation is in both readings
  const sigma = (one: Measured): number => measuredSigma('ohm', one.value, one.u);
  const width = Math.hypot(touch.touchSigma, sigma(dry), sigma(normal));
  const between = (scaleOf('ohm', dry.value) - scaleOf('ohm', normal.value)) / width;
  const isAbove = (one: Measured): boolean => one.state === 'above-range';
  if (dry.state !== 'above-range' && dry.state !== 'in-range') return first;
  if (isAbove(normal)) return isAbove(dry) ? first : first * quickCdf(between);
  if (normal.state !== 'in-range') return first * densityOf('ohm', atDry, dry);
  return first * (isAbove(dry) ? quickCdf(-between) : bell(between) / width);
}

function pressesLikelihood(
  { touch }: IsolationRules,
  check: Check,
  evidence: EvidenceOf<'presses'>,
  cells: readonly ChannelCell[],
): number {
  if (check.kind !== 'presses') return 1;
  const [closed, released] = cells as [ChannelCell, ChannelCell];
  const { bad, count } = evidence;
  const lettingGo = isClosure(closed, released);
  const never = 1 - lettingGo;
  const outside = Math.max(outsideChance(closed, check.limits), never);
  const counted =
    (1 - outside) *
      betaBinomial(bad, count, touch.badPress + touch.badPressUnsteady * closed.unsteady, touch.badPressWeight) +
    outside * betaBinomial(bad, count, touch.outsideBadPress, touch.outsideBadPressWeight);
  if (evidence.closed === null)
    return Math.max(never, 1 - spreadCdf(closed, scaleOf('ohm', 1e6), closed.sigma)) * counted;
  return lettingGo * altered(touch, check, 'ohm', { ...closed, alt: Number.NaN }, evidence.closed, 0, 0) * counted;
}

function answerLikelihood({ eyes }: Guide, check: Check, answer: 'yes' | 'no' | 'unsure', isSeen: boolean): number {
  if (answer === 'unsure' || check.kind !== 'look') return 1;
  const isFail = answer !== check.passAnswer;
  return isSeen ? (isFail ? 1 - eyes.miss : eyes.miss) : isFail ? eyes.falseAlarm : 1 - eyes.falseAlarm;
}

/**
 * Returns whether a bridge says nothing: its closure was not proven. Only an idle voltage outside
 * its limits, for which the bridge was not closed at all, is a voltage like any other.
 */
function saysNothing(check: Check, evidence: EvidenceOf<'bridge'>): boolean {
  if (check.kind !== 'bridge' || evidence.proven) return false;
  const { idle } = evidence;
  if (idle === null || idle.state !== 'in-range') return true;
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = check.idle;
  return idle.value >= min && idle.value <= max;
}

function responseLikelihood(
  frame: Frame,
  check: Check,
  { proven, idle, answer }: EvidenceOf<'bridge'>,
  { cells, isMute = false }: Seen,
): number {
  const atRest =
    idle === null ? 1 : altered(frame.rules.touch, check, 'volt', cells[0]!, idle, frame.rules.touch.badMoments, 0);
  if (!proven || answer === 'unsure' || check.kind !== 'bridge') return atRest;
  const yes = answerYes(frame.guide, isMute ? 0 : responds(frame, check.input, cells));
  return atRest * (answer === 'yes' ? yes : 1 - yes);
}

/** Returns the chance that a device is said to have responded. */
export function answerYes({ eyes }: Guide, respondsChance: number): number {
  return respondsChance * (1 - eyes.falseAlarm) + (1 - respondsChance) * eyes.miss;
}

/** Returns the chance that a closure makes the input respond, which it did not before. */
export function responds({ guide, rules }: Frame, inputId: string, [, before, during]: readonly ChannelCell[]): number {
  const { badMoments } = rules.touch;
  const input = guide.inputs.find((one) => one.id === inputId);
  if (input === undefined || before === undefined || during === undefined) return 0;
  const below = (cell: ChannelCell): number => {
    const usual = spreadCdf(cell, input.belowVolt, cell.sigma);
    if (Number.isNaN(cell.alt)) return usual;
    const bad = spreadCdf({ low: cell.alt, high: cell.alt }, input.belowVolt, cell.sigma);
    return (1 - badMoments) * usual + badMoments * bad;
  };
  return below(during) * (1 - below(before));
}
