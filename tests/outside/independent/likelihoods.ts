import type { Evidence, EvidenceOf, Measured, ReadingEvidence } from '../../../src/checks/evidence.ts';
import type { Check, Guide } from '../../../src/guide/types.ts';
import { chanceOf, isInsideClass, ownSigma } from './chances.ts';
import type { Hypothesis } from './hypotheses.ts';
import { bell, densityAt, massBelow, phi } from './quadrature.ts';
import { type Seen, scaleOf } from './seen.ts';
import { limitsOf } from './sights.ts';
import type { Stated } from './stated-model.ts';

/** What a likelihood is worked out in. */
export interface Frame {
  guide: Guide;
  stated: Stated;
  check: Check;
}

/** Returns how probable a piece of evidence is when each number of its check is seen so, by name. */
export function likelihoodOf(
  frame: Frame,
  evidence: Evidence,
  { fault, unknown }: Pick<Hypothesis, 'fault' | 'unknown'>,
  seen: Readonly<Record<string, Seen>>,
): number {
  const { guide, stated, check } = frame;
  if (check.kind === 'look' && evidence.kind === 'look') {
    if (evidence.answer === 'unsure') return 1;
    const isThere = check.sees.some(({ link, mode }) => link === fault?.link && mode === fault.mode);
    const failing = isThere ? 1 - guide.eyes.miss : guide.eyes.falseAlarm;
    return evidence.answer === check.passAnswer ? 1 - failing : failing;
  }
  if (evidence.kind === 'bridge' && check.kind === 'bridge' && !evidence.proven) {
    const { min = -Infinity, max = Infinity } = check.idle;
    const { idle } = evidence;
    if (idle?.state !== 'in-range' || (idle.value >= min && idle.value <= max)) return 1;
  }
  const chance = chanceOf(frame, evidence);
  const right = (1 - guide.wrongPad) * rightOf(frame, evidence, unknown?.kind === 'input' ? unknown.input : null, seen);
  const mixed = right + guide.wrongPad * chance;
  if (unknown?.kind !== 'any') return mixed;
  const shows = stated.number('unknown.anyShows');
  return (1 - shows) * mixed + shows * chance;
}

function rightOf(frame: Frame, evidence: Evidence, mute: string | null, seen: Readonly<Record<string, Seen>>): number {
  switch (evidence.kind) {
    case 'resistance':
    case 'voltage':
    case 'steady':
      return readingOf(frame, evidence, seen.read!);
    case 'dry-normal':
      return levelsOf(frame, evidence, seen.read!, seen.dry!);
    case 'presses':
      return pressesOf(frame, evidence, seen.read!, seen.released!);
    case 'bridge':
      return bridgeOf(frame, evidence, mute, seen);
    case 'look':
      return 1;
  }
}

function readingOf(frame: Frame, { reading, unsteady, quantity }: ReadingEvidence, seen: Seen): number {
  const { stated, check } = frame;
  const n = (name: string): number => stated.number(`touch.${name}`);
  const q = check.kind === 'steady' ? 1 - (1 - seen.unsteady) ** n('flexedTouches') : seen.unsteady;
  const u = Math.min(0.99, n('usualUnsteady') + (1 - n('usualUnsteady')) * q);
  const isRead = reading !== null && (reading.state === 'in-range' || reading.state === 'above-range');
  if (!isRead) return unsteady ? u : 1;
  const kind = quantity === 'voltage' ? 'volt' : 'ohm';
  const extra = n(kind === 'ohm' ? 'unsteadyOhmSigma' : 'unsteadyVolt');
  return unsteady
    ? u * withBad(frame, kind, seen, reading, 0.5, extra)
    : (1 - u) * withBad(frame, kind, seen, reading, n('badMoments'), 0);
}

/** The mass inside the limits of a reading that is not shown to be outside, else its density. */
function underOf({ stated, check }: Frame, kind: 'ohm' | 'volt', seen: Seen, one: Measured, extra: number): number {
  const limits = limitsOf(check);
  if (stated.is('touch.limitsSpeak') && isInsideClass(kind, limits, one)) {
    const below = (end: number): number => {
      const sigma = Math.hypot(seen.sigma, ownSigma(kind, { ...one, value: end }), extra);
      return massBelow(scaleOf(kind, end), { ...seen, sigma });
    };
    const { min, max } = limits!;
    const top = max === undefined ? 1 : below(max + 2 * one.u);
    return Math.max(1e-12, top - (min === undefined ? 0 : below(min - 2 * one.u)));
  }
  const y = scaleOf(kind, one.value);
  if (one.state === 'above-range') return 1 - massBelow(y, seen);
  return densityAt(y, { ...seen, sigma: Math.hypot(seen.sigma, ownSigma(kind, one), extra) });
}

function withBad(frame: Frame, kind: 'ohm' | 'volt', seen: Seen, one: Measured, share: number, extra: number): number {
  const usual = underOf(frame, kind, seen, one, extra);
  if (seen.bad === null) return usual;
  return (1 - share) * usual + share * underOf(frame, kind, { ...seen, low: seen.bad, high: seen.bad }, one, extra);
}

function levelsOf(frame: Frame, { dry, normal }: EvidenceOf<'dry-normal'>, atNormal: Seen, atDry: Seen): number {
  const { stated, check } = frame;
  const first = withBad(frame, 'ohm', atNormal, normal, stated.number('touch.badMoments'), 0);
  const isSame = Math.abs(atNormal.low - atDry.low) < 1e-6 && Math.abs(atNormal.high - atDry.high) < 1e-6;
  const factor = check.kind === 'dry-normal' ? check.factor : 1;
  if (stated.is('touch.limitsSpeak') && isFilmless(dry, normal, factor)) {
    const end = factor * Math.max(0, normal.value) + 2 * (1 + factor) * normal.u;
    return first * (isSame ? 1 : Math.max(1e-12, massBelow(scaleOf('ohm', end), atDry)));
  }
  if (!isSame) {
    const y = scaleOf('ohm', dry.value);
    const width = Math.hypot(atDry.sigma, ownSigma('ohm', dry));
    return first * (dry.state === 'above-range' ? 1 - massBelow(y, atDry) : densityAt(y, { ...atDry, sigma: width }));
  }
  const width = Math.hypot(stated.number('touch.touchSigma'), ownSigma('ohm', dry), ownSigma('ohm', normal));
  const z = (scaleOf('ohm', dry.value) - scaleOf('ohm', normal.value)) / width;
  if (normal.state === 'above-range') return first * (dry.state === 'above-range' ? 1 : phi(z));
  return first * (dry.state === 'above-range' ? phi(-z) : bell(z) / width);
}

function isFilmless(dry: Measured, normal: Measured, factor: number): boolean {
  if (normal.state === 'above-range') return true;
  return dry.state === 'in-range' && dry.value <= factor * normal.value + 2 * Math.hypot(dry.u, factor * normal.u);
}

function pressesOf(frame: Frame, { bad, count, closed }: EvidenceOf<'presses'>, seen: Seen, released: Seen): number {
  const { stated, check } = frame;
  const n = (name: string): number => stated.number(`touch.${name}`);
  const tenfold = Math.min(scaleOf('ohm', 10e6), (seen.low + seen.high) / 2 + Math.log(10));
  const lettingGo = 1 - massBelow(tenfold, { ...released, sigma: Math.hypot(released.sigma, seen.sigma) });
  const { min, max } = limitsOf(check)!;
  const below = min === undefined ? 0 : massBelow(scaleOf('ohm', min), seen);
  const above = max === undefined ? 0 : 1 - massBelow(scaleOf('ohm', max), seen);
  const outside = Math.max(Math.min(1, below + above), 1 - lettingGo);
  const counted =
    (1 - outside) *
      betaBinomial(bad, count, n('badPress') + n('badPressUnsteady') * seen.unsteady, n('badPressWeight')) +
    outside * betaBinomial(bad, count, n('outsideBadPress'), n('outsideBadPressWeight'));
  if (closed === null) return Math.max(1 - lettingGo, 1 - massBelow(scaleOf('ohm', 1e6), seen)) * counted;
  return lettingGo * underOf(frame, 'ohm', seen, closed, 0) * counted;
}

/** Over the beta distribution by the midpoint rule, in the quantile-free form: a product of gamma functions in logarithms. */
function betaBinomial(bad: number, count: number, mean: number, weight: number): number {
  const [a, b] = [mean * weight, (1 - mean) * weight];
  const beta = (x: number, y: number): number => logGamma(x) + logGamma(y) - logGamma(x + y);
  const choose = logGamma(count + 1) - logGamma(bad + 1) - logGamma(count - bad + 1);
  return Math.exp(choose + beta(bad + a, count - bad + b) - beta(a, b));
}

/** Stirling's series after a shift to above 12 (Abramowitz and Stegun 6.1.40). */
function logGamma(x: number): number {
  if (x < 12) return logGamma(x + 1) - Math.log(x);
  return (
    (x - 0.5) * Math.log(x) - x + 0.5 * Math.log(2 * Math.PI) + 1 / (12 * x) - 1 / (360 * x ** 3) + 1 / (1260 * x ** 5)
  );
}

function bridgeOf(
  frame: Frame,
  { proven, idle, answer }: EvidenceOf<'bridge'>,
  mute: string | null,
  seen: Readonly<Record<string, Seen>>,
): number {
  const { guide, stated, check } = frame;
  const bad = stated.number('touch.badMoments');
  const isRead = idle !== null && (idle.state === 'in-range' || idle.state === 'above-range');
  const atRest = isRead ? withBad(frame, 'volt', seen.read!, idle, bad, 0) : 1;
  if (!proven || answer === 'unsure' || check.kind !== 'bridge') return atRest;
  const { belowVolt } = guide.inputs.find(({ id }) => id === check.input)!;
  const below = (one: Seen): number => {
    const usual = massBelow(belowVolt, one);
    return one.bad === null
      ? usual
      : (1 - bad) * usual + bad * massBelow(belowVolt, { ...one, low: one.bad, high: one.bad });
  };
  const responds = mute === check.input ? 0 : below(seen.during!) * (1 - below(seen.before!));
  const yes = responds * (1 - guide.eyes.falseAlarm) + (1 - responds) * guide.eyes.miss;
  return atRest * (answer === 'yes' ? yes : 1 - yes);
}
