import type { CalPoint } from './cal-point.ts';

/** Returns a resistance for people, to `digits` digits with its prefix: `470 ohm`, `4.7 kohm`, `open`. */
export function ohmText(ohm: number, digits = 4): string {
  if (ohm === Number.POSITIVE_INFINITY) return 'open';
  // rounded before its prefix is chosen: 999.6 to three digits is 1 k
  const size = Math.abs(Number(ohm.toPrecision(digits)));
  const [scale, prefix] =
    size >= 1e6 ? [1e6, 'M'] : size >= 1e3 ? [1e3, 'k'] : size >= 0.1 || size === 0 ? [1, ''] : [1e-3, 'm'];
  return `${Number((ohm / scale).toPrecision(digits))} ${prefix}ohm`;
}

/** Returns what a point stands on, as a person would say it: `shorted tips`, `the resistor marked 470 ohm`. */
export function describePoint({ standard }: CalPoint): string {
  switch (standard.kind) {
    case 'short':
      return 'the shorted tips';
    case 'open':
      return 'the open tips';
    case 'resistor': {
      const name = standard.name === undefined || standard.name === '' ? '' : ` (${standard.name})`;
      return `the resistor marked ${ohmText(standard.ohm)}${name}`;
    }
    case 'volt':
      return `the source of ${standard.volt} V`;
  }
}
