import { formatQuantity } from '../../measure/reading/format.ts';
import type { CalPoint } from './cal-point.ts';

/**
 * Returns what a point stands on, as a person would say it: `shorted tips`, `the resistor marked
 * 470 ohm`.
 */
export function describePoint({ standard }: CalPoint): string {
  switch (standard.kind) {
    case 'short':
      return 'the shorted tips';
    case 'open':
      return 'the open tips';
    case 'resistor': {
      const name = standard.name === undefined || standard.name === '' ? '' : ` (${standard.name})`;
      return `the resistor marked ${formatQuantity(standard.ohm, 'resistance')}${name}`;
    }
    case 'volt':
      return `the source of ${standard.volt} V`;
  }
}
