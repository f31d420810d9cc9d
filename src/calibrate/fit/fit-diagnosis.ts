import { codeOfOhm, ohmOfCode } from '../../measure/reading/calibration.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import type { RangeCalibration } from '../../measure/types.ts';
import { standardOhm } from '../points/cal-point.ts';
import { describePoint } from '../points/point-words.ts';
import type { ErrorModel, IndexedPoint } from '../points/standard-observations.ts';
import { nearestPreferred } from '../standards/e-series.ts';
import type { Outlier, OutlierCause, RangeFit } from './fit-types.ts';
import { codeWithPartials } from './range-curve.ts';

/**
 * Two resistances are taken for the same when they differ by less than this share, or by as many of
 * their standard uncertainties.
 */
const sameShare = 0.01;
const sameDeviations = 4;
/**
 * A reading belongs to another range when it fits there to this share: other ranges may be known by
 * their marked parts only.
 */
const otherRangeShare = 0.03;
/** A touch that scatters this many times as much as the others was not steady. */
const unsteadyFactor = 5;
/**
 * Below this much too much, and less than the resistor again, it is what lies in series: dirt under
 * a tip.
 */
const seriesOhm = 10;
/**
 * Fingers across both tips are some 100 kohm to 10 Mohm beside a resistor; common practice, no
 * source.
 */
const fingersOhm = { least: 50e3, most: 50e6 } as const;
/** A reading this near to a value of the E24 series is likely to be that resistor. */
const preferredShare = 0.02;
/** A reading that differs by less than this share from the marking is hardly another resistor. */
const otherResistorShare = 0.04;

/**
 * Returns the points that were left out, each with what it reads by the others' fit and the
 * likeliest cause, tested in the order of how sure each sign is.
 */
export function diagnose(
  out: readonly IndexedPoint[],
  fit: RangeFit,
  all: readonly IndexedPoint[],
  others: readonly RangeCalibration[],
  model: ErrorModel,
): Outlier[] {
  return out.map((point) => {
    const readsOhm = ohmOfCode(point.code, fit) - model.leadOhm;
    const found = causeOf(point, readsOhm, { out, fit, all, others, model });
    const deviation = fit.residuals.find(({ index }) => index === point.index)!.standardised;
    return { index: point.index, deviation, readsOhm, ...found };
  });
}

interface Scene {
  out: readonly IndexedPoint[];
  fit: RangeFit;
  all: readonly IndexedPoint[];
  others: readonly RangeCalibration[];
  model: ErrorModel;
}

type Finding = Pick<Outlier, 'cause' | 'wouldBeOhm' | 'otherIndex' | 'text'>;

function causeOf(point: IndexedPoint, readsOhm: number, scene: Scene): Finding {
  const stated = standardOhm(point.standard);
  const marked = describePoint(point);
  const reads = `${marked} ${verb(point, 'reads', 'read')} ${formatQuantity(readsOhm, 'resistance', 3)}`;
  const swapped = swappedWith(point, readsOhm, scene);
  if (swapped !== null) {
    const text = `${reads}: it looks swapped with ${describePoint(swapped)}; touch each again`;
    return finding('swapped', text, { wouldBeOhm: standardOhm(swapped.standard), otherIndex: swapped.index });
  }
  const range = otherRange(point, scene);
  if (range !== null) {
    const text = `${reads}: its code is the one of range ${range.range} ${range.level}; was the range another than the one noted?`;
    return finding('wrong-range', text);
  }
  if (
    point.code >= codeOfOhm(Number.POSITIVE_INFINITY, scene.fit) - openMargin(scene.fit) &&
    stated !== Number.POSITIVE_INFINITY
  ) {
    return finding('bad-touch', `${marked} ${verb(point, 'reads', 'read')} open: a tip did not touch; touch it again`);
  }
  if (isUnsteady(point, scene)) {
    return finding(
      'bad-touch',
      `${reads} and scatters far more than the other touches: the touch was not steady; touch it again`,
    );
  }
  const leak = leakOhm(stated, readsOhm);
  const namesake = sameAsAnother(point, readsOhm, scene);
  if (namesake !== null && namesake.standard.kind !== 'open') {
    const text = `${reads}: that is what ${describePoint(namesake)} should read; was that one touched?`;
    return finding('wrong-resistor', text, { wouldBeOhm: standardOhm(namesake.standard), otherIndex: namesake.index });
  }
  if (point.standard.kind === 'short') {
    return finding(
      'bad-touch',
      `${reads}: they did not touch one another well, or something lay between; hold them together again`,
    );
  }
  if (point.standard.kind === 'open' && readsOhm === Number.POSITIVE_INFINITY) {
    const text = `${marked} lie above the open level that the other points give: nothing at the tips does that; take the others again`;
    return finding('unexplained', text);
  }
  if (point.standard.kind === 'open' && leak === null) {
    return finding('bad-touch', `${reads}: they touched something; hold them apart in the air`);
  }
  const preferred = nearestPreferred(readsOhm, 'E24');
  const offShare = Math.abs(readsOhm / stated - 1);
  const isOther = offShare > otherResistorShare && Number.isFinite(stated) && stated > 0;
  if (isOther && isNear(readsOhm, preferred, preferredShare) && !isNear(stated, preferred, preferredShare)) {
    const text = `${reads}: wrong resistor? it would be a ${formatQuantity(preferred, 'resistance')} one (E24)`;
    return finding('wrong-resistor', text, { wouldBeOhm: preferred });
  }
  const excess = readsOhm - stated;
  if (excess > 0 && excess < seriesOhm && excess < Math.max(stated, 1)) {
    return finding(
      'bad-touch',
      `${reads}, ${formatQuantity(excess, 'resistance', 2)} too much: dirt under a tip? clean it and touch it again`,
    );
  }
  if (leak !== null) {
    const beside = `something of about ${formatQuantity(leak, 'resistance', 2)} lies beside it`;
    return finding('leak', `${reads}: ${beside}; keep the fingers off the metal and touch it again`);
  }
  if (isOther) {
    const text = `${reads}: wrong resistor? the nearest preferred value is ${formatQuantity(preferred, 'resistance')} (E24)`;
    return finding('wrong-resistor', text, { wouldBeOhm: preferred });
  }
  return finding('unexplained', `${reads} and does not belong with the others; touch it again, or check the resistor`);
}

function finding(cause: OutlierCause, text: string, more: Partial<Finding> = {}): Finding {
  return { cause, wouldBeOhm: null, otherIndex: null, text, ...more };
}

/** Tips are several, a resistor is one. */
function verb({ standard }: IndexedPoint, one: string, several: string): string {
  return standard.kind === 'short' || standard.kind === 'open' ? several : one;
}

/** The point that this one seems to have changed places with: each reads what the other should. */
function swappedWith(point: IndexedPoint, readsOhm: number, { out, fit, model }: Scene): IndexedPoint | null {
  const stated = standardOhm(point.standard);
  return (
    out.find((other) => {
      const otherStated = standardOhm(other.standard);
      if (other === point || otherStated === stated) return false;
      return isSame(point, otherStated, fit, model) && isSame(other, stated, fit, model) && readsOhm !== stated;
    }) ?? null
  );
}

/**
 * Another standard among the points (not left out as wrong itself) whose value this point reads.
 */
function sameAsAnother(point: IndexedPoint, readsOhm: number, { all, out, fit, model }: Scene): IndexedPoint | null {
  const stated = standardOhm(point.standard);
  if (!Number.isFinite(readsOhm)) return null;
  return (
    all.find((other) => {
      const otherStated = standardOhm(other.standard);
      return (
        other !== point && !out.includes(other) && otherStated !== stated && isSame(point, otherStated, fit, model)
      );
    }) ?? null
  );
}

/** Whether a point's code is what `ohm` gives on this range, within a percent or the scatter. */
function isSame(point: IndexedPoint, ohm: number, fit: RangeFit, model: ErrorModel): boolean {
  const at = codeWithPartials(ohm + model.leadOhm, fit);
  const scatter = sameDeviations * Math.hypot(point.uCode, model.uLinearityCode, at.byOhm * model.uTouchOhm);
  const share = Number.isFinite(ohm) ? at.byOhm * ohm * sameShare : 0;
  return Math.abs(point.code - at.code) <= Math.max(scatter, share);
}

function otherRange(point: IndexedPoint, { others, fit, model }: Scene): RangeCalibration | null {
  const { standard } = point;
  // a short and an open read nearly the same on every range
  if (standard.kind !== 'resistor') return null;
  const ownShare = Math.abs(codeOfOhm(standard.ohm, fit) - point.code);
  return (
    others.find((other) => {
      if (other.range === fit.range && other.level === fit.level) return false;
      const reads = ohmOfCode(point.code, other) - model.leadOhm;
      const at = codeWithPartials(standard.ohm + model.leadOhm, other);
      // at the flat ends of a range every resistor reads alike: no sign of anything
      const telling = at.byOhm * standard.ohm * otherRangeShare < ownShare / 3;
      const scatter = sameDeviations * Math.hypot(point.uCode, model.uLinearityCode);
      const near = isNear(reads, standard.ohm, otherRangeShare) && at.byOhm * standard.ohm * otherRangeShare > scatter;
      return telling && near;
    }) ?? null
  );
}

function isUnsteady(point: IndexedPoint, { all, out }: Scene): boolean {
  const scatters = all.filter((other) => !out.includes(other)).map(({ uCode }) => uCode);
  const usual = scatters.sort((a, b) => a - b)[scatters.length >> 1] ?? Number.POSITIVE_INFINITY;
  return usual > 0 && point.uCode > unsteadyFactor * usual;
}

/**
 * What would have to lie beside a resistor for it to read so low; null when that is not fingers.
 */
function leakOhm(stated: number, readsOhm: number): number | null {
  if (!(readsOhm > 0) || !(readsOhm < stated)) return null;
  const beside = stated === Number.POSITIVE_INFINITY ? readsOhm : (stated * readsOhm) / (stated - readsOhm);
  return beside >= fingersOhm.least && beside <= fingersOhm.most ? beside : null;
}

function openMargin(fit: RangeFit): number {
  return Math.max(sameDeviations * fit.uOpen, (fit.nOpen - fit.nOff) * 2e-3);
}

function isNear(a: number, b: number, share: number): boolean {
  return Math.abs(a / b - 1) <= share;
}
