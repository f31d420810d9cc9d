import { decide } from '../../measure/judge/decide.ts';
import { formatReading } from '../../measure/reading/format.ts';
import type { Calibration, Limits, Outcome, Reading, Rule } from '../../measure/types.ts';
import { type ReadWindow, readingOf } from '../judge-reading.ts';
import type { Judged } from '../kind.ts';
import { probabilityFilm } from './film.ts';

/** One touch at both levels. */
export interface RawLevels {
  dry: ReadWindow;
  normal: ReadWindow;
  calibration: Calibration;
  /** Of the reading at the normal level. */
  limits: Limits;
  factor: number;
  rule: Rule;
}

/** Returns what one touch at both levels comes to; its `reading` is the one at the normal level. */
export function judgeDryNormal(raw: RawLevels): Judged & { reading: Reading; dry: Reading; pFilm: number } {
  const { calibration, limits, factor, rule } = raw;
  const dry = readingOf(raw.dry, calibration);
  const reading = readingOf(raw.normal, calibration);
  return { reading, dry, ...decideLevels(dry, reading, limits, factor, rule) };
}

/**
 * Returns what one touch at both levels comes to. A film that is too thick for the dry level's 20
 * mV and breaks down at 0.2 V shows as a dry reading far above the normal one (20 mV as the level
 * that breaks no film down: IEC 60512-2-1, millivolt level method; from memory).
 *
 * - fail: a film by the rule's probability, or the normal reading fails its limits;
 * - pass: the normal reading passes, and there is no film, or the dry reading passes the limits as
 *   well;
 * - borderline: all else.
 */
export function decideLevels(
  dry: Reading,
  normal: Reading,
  limits: Limits,
  factor: number,
  rule: Rule,
): { outcome: Extract<Outcome, 'pass' | 'fail' | 'borderline'>; pFilm: number; why: string } {
  const atNormal = decide(normal, limits, rule);
  const pFilm = probabilityFilm(dry, normal, factor);
  const p = rule.name === 'guarded' ? Math.max(rule.p, 0.5) : 0.5;
  const both = `dry ${formatReading(dry)}, normal ${formatReading(normal)}`;
  if (atNormal.outcome === 'fail') return { outcome: 'fail', pFilm, why: `${both}: ${atNormal.why}` };
  if (isComparable(dry, normal) && pFilm >= p && pFilm > 0.5) {
    return { outcome: 'fail', pFilm, why: `${both}: a film, the dry reading is above ${factor} times the normal one` };
  }
  if (atNormal.outcome === 'borderline') return { outcome: 'borderline', pFilm, why: `${both}: ${atNormal.why}` };
  const clear = isComparable(dry, normal) && 1 - pFilm >= p;
  if (clear || decide(dry, limits, rule).outcome === 'pass') {
    return { outcome: 'pass', pFilm, why: `${both}: no film; ${atNormal.why}` };
  }
  return { outcome: 'borderline', pFilm, why: `${both}: whether there is a film lies within the uncertainty` };
}

function isComparable(dry: Reading, normal: Reading): boolean {
  return normal.state === 'in-range' && (dry.state === 'in-range' || dry.state === 'above-range');
}
