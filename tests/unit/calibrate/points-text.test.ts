import { expect, test } from 'vitest';
import type { CalPoint } from '../../../src/calibrate/points/cal-point.ts';
import { parsePointsCsv } from '../../../src/calibrate/points/points-csv.ts';
import { pointsText } from '../../../src/calibrate/points/points-text.ts';

test('points that were written are read as they were', () => {
  const points: CalPoint[] = [
    { range: 0, level: 'normal', standard: { kind: 'short' }, code: 357.47, uCode: 1.08, n: 226 },
    { range: 4, level: 'dry', standard: { kind: 'open' }, code: 13_402.123_456_789, uCode: 0.5, n: 226 },
    {
      range: 2,
      level: 'normal',
      standard: { kind: 'resistor', ohm: 470.02, uOhm: 0.27, uCommonRel: 5.8e-5, name: 'R5, the "long" one' },
      code: 4512.5,
      uCode: 0.2,
      n: 226,
    },
  ];
  const read = parsePointsCsv(pointsText(points), null);
  expect(read.ok && read.points).toEqual(points);
  // what is set aside stays in the file, and out of the fit
  const aside = pointsText(points.slice(0, 2), points.slice(2));
  expect(aside).toContain('4512.5');
  const without = parsePointsCsv(aside, null);
  expect(without.ok && without.points).toEqual(points.slice(0, 2));
});
