import { expect, test } from 'vitest';
import { constrictionOhm, goldContact } from '../../../sim/device/holm.ts';

// Computed from Holm's formulae (Electric Contacts, 4th ed.; a = sqrt(F / (pi xi H)), R = rho / (2 a)) apart from this program.
const plastic = [
  { metal: 'gold', rho: 2.214e-8, hPa: 600e6, fN: 0.1, mohm: 1.519841 },
  { metal: 'gold', rho: 2.214e-8, hPa: 600e6, fN: 1, mohm: 0.480616 },
  { metal: 'hard gold plate', rho: 2.214e-8, hPa: 1700e6, fN: 0.5, mohm: 1.144095 },
  { metal: 'copper', rho: 1.7241e-8, hPa: 500e6, fN: 0.5, mohm: 0.483178 },
  { metal: 'tin', rho: 1.15e-7, hPa: 50e6, fN: 0.5, mohm: 1.019161 },
];

test.each(plastic)('$metal under $fN N', ({ rho, hPa, fN, mohm }) => {
  const contact = { resistivityOhmMetre: rho, hardnessPascal: hPa, deformation: 1 };
  expect(constrictionOhm(fN, contact) * 1e3).toBeCloseTo(mohm, 5);
});

test('falls with the root of the force, and is endless without one', () => {
  expect(constrictionOhm(0.1) / constrictionOhm(1)).toBeCloseTo(Math.sqrt(10), 10);
  expect(constrictionOhm(0)).toBe(Number.POSITIVE_INFINITY);
  expect(constrictionOhm(Number.NaN)).toBe(Number.POSITIVE_INFINITY);
  expect(constrictionOhm(1, goldContact)).toBeLessThan(0.005);
});
