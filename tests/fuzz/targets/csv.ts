import { parsePointsCsv } from '../../../src/calibrate/points/points-csv.ts';
import { goodValuesFromCsv } from '../../../src/cli/statistics/known-good-csv.ts';
import { exampleText, guideOf } from '../../support/example-guide.ts';
import type { FuzzTarget } from '../target.ts';
import { bytesOf, example, textOf } from './text.ts';

const goodGuide = guideOf(exampleText('field-recorder'));
const pointsHead = 'range,level,standard,code,u_code,n,ohm,u_ohm,u_common_rel,volt,u_volt';

/** Tables of values: points of a calibration, readings of known-good units. */
export const csv: FuzzTarget = {
  name: 'csv',
  executions: 200_000,
  mostBytes: 4_000,
  mostSteps: { base: 20_000, aByte: 200 },
  words: [
    pointsHead,
    'unit,check,reading,u',
    '"',
    '""',
    ';',
    '\r\n',
    '#',
    '\ufeff',
    '4K7B',
    '0.31 ohm',
    'open',
    'volt',
    '1e999',
  ],
  seeds: () => [example('bench-points.csv').slice(0, 1200), example('known-good.csv').slice(0, 600)].map(bytesOf),
  run(bytes) {
    const text = textOf(bytes);
    const points = parsePointsCsv(text, null);
    return { points, good: text.startsWith('unit') ? goodValuesFromCsv(text, 'good.csv', goodGuide) : null };
  },
};
