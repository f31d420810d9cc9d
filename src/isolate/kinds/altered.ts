import type { Measured } from '../../checks/evidence.ts';
import type { Limits } from '../../guide/types.ts';
import { insideMass, isInsideClass } from '../belief/inside-limits.ts';
import { densityOf } from '../belief/outcome-density.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { ChannelCell } from '../suspects/scale.ts';

/**
 * Returns how probable a measured value is under a cell: a contact that comes and goes reads as it
 * does in its bad moments in so many touches.
 */
export function altered(
  touch: IsolationRules['touch'],
  limits: Limits | null,
  quantity: 'ohm' | 'volt',
  cell: ChannelCell,
  measured: Measured,
  bad: number,
  extraSigma: number,
): number {
  const saysInside = touch.limitsSpeak && isInsideClass(quantity, limits, measured);
  const under = (one: ChannelCell): number =>
    saysInside
      ? insideMass(quantity, limits, one, measured, extraSigma)
      : densityOf(quantity, one, measured, extraSigma);
  const usual = under(cell);
  if (Number.isNaN(cell.alt)) return usual;
  return (1 - bad) * usual + bad * under({ ...cell, low: cell.alt, high: cell.alt });
}
