import { openOhm } from '../../guide/circuit/faults.ts';
import type { Limits } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';

type Prediction = IsolationRules['prediction'];

/**
 * What a channel sees under one cell of a suspect, on its scale: a normal distribution of width
 * `sigma` about a value that is evenly spread from `low` to `high`.
 */
export interface ChannelCell {
  low: number;
  high: number;
  sigma: number;
  /** Chance beside the usual one that a touch is unsteady. */
  unsteady: number;
  /** Where it stands in its bad moments; NaN: it has none. */
  alt: number;
}

/** Keeps the logarithm of ohms near 0 finite: what tips and their seats make uncertain anyway. */
export const scaleOhm = 0.005;

/** Returns a value on its scale: ohms as ln(R + 5 mohm), volts as they are. */
export function scaleOf(quantity: 'ohm' | 'volt', value: number): number {
  return quantity === 'volt' ? value : Math.log(Math.max(-scaleOhm / 2, Math.min(openOhm, value)) + scaleOhm);
}

/**
 * Returns the width of a predicted resistance on its scale, for a standard deviation `sdOhm` that
 * the links' spreads make.
 */
export function sigmaOhm({ leastOhmSigma }: Prediction, ohm: number, sdOhm: number): number {
  if (ohm >= openOhm) return leastOhmSigma;
  return Math.hypot(leastOhmSigma, Math.min(1, sdOhm / (ohm + scaleOhm)));
}

/**
 * Returns the width of a predicted voltage, in volt; a fault's own effect is known to some per
 * cent.
 */
export function sigmaVolt(
  { leastVoltSigma, faultVoltShare }: Prediction,
  volt: number,
  healthyVolt: number,
  sdVolt: number,
  tolerance: number,
): number {
  return Math.hypot(leastVoltSigma, tolerance * volt, sdVolt, faultVoltShare * (volt - healthyVolt));
}

/**
 * Returns the relative tolerance of the rails behind a voltage: a guide gives none, but its limits
 * say what a healthy device may read, and the nearer one is taken as two and a half standard
 * deviations; 0.5 % to 6 %.
 */
export function voltTolerance(rules: Prediction, healthyVolt: number, limits: Limits | null): number {
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = limits ?? {};
  const room = Math.min(healthyVolt - min, max - healthyVolt);
  const relative = room / rules.voltLimitSigmas / Math.max(1e-6, Math.abs(healthyVolt));
  if (!Number.isFinite(relative)) return rules.usualVoltTolerance;
  return Math.min(rules.mostVoltTolerance, Math.max(rules.leastVoltTolerance, relative));
}
