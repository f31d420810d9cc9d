import { createElement } from 'react';
import { describe, expect, test } from 'vitest';
import { MeterScreen } from '../../../src/faces/screen/meter/meter-screen.tsx';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { freshMeter, linkMeter, type MeterState, stepMeter } from '../../../src/session/meter/meter-reducer.ts';
import { freshMeterUi, meterView } from '../../../src/view/meter/meter-view.ts';
import { batchAt, seated } from '../../support/batches.ts';
import { ascii, frameOf, seenOf, sizes, unicode } from '../../support/frames.ts';

function metered(ohm: number, bits = seated): MeterState {
  let meter = linkMeter(freshMeter('resistance'), true, 'probe 7 on a port; nominal part values');
  for (let i = 0; i < 300; i++) {
    meter = stepMeter(meter, batchAt(i < 150 ? ohm * 10 : ohm, i * 8 * 884, bits), nominalCalibration);
  }
  return meter;
}

const scenes: Record<string, MeterState> = {
  'a reading': metered(4.7),
  'an open': metered(2e7),
  'a voltage on the tips': metered(4.7, seated | flagBits.live),
  'a lost link': linkMeter(metered(4.7), false, 'the cable was pulled'),
};

describe.each(Object.entries(scenes))('%s', (_name, meter) => {
  test.each(sizes)('fits %dx%d', async (cols, rows) => {
    for (const theme of [unicode, ascii]) {
      for (const ui of [{}, { help: true }, { budget: true }]) {
        const view = meterView(meter, { ...freshMeterUi(), ...ui });
        const frame = frameOf(createElement(MeterScreen, { view, cols, rows, theme }), cols);
        const { lines, broken } = await seenOf(frame, cols, rows);
        expect(broken).toBe(0);
        expect(
          lines
            .slice(rows - 1)
            .join('')
            .trim(),
        ).toBe('');
        if (theme === ascii) expect(lines.join('')).toMatch(/^[\x20-\x7e]*$/);
      }
    }
  });
});

test('a person sees reading, statistics and touches', async () => {
  const view = meterView(metered(4.7), freshMeterUi());
  const frame = frameOf(createElement(MeterScreen, { view, cols: 80, rows: 24, theme: unicode }), 80);
  const seen = (await seenOf(frame, 80, 24)).lines.join('\n');
  expect(seen).toMatch(/min +4\.\d+ ohm/);
  expect(seen).toMatch(/max +47\.?\d* ohm/);
  expect(seen).toMatch(/touches +1/);
  expect(seen).toContain('+/- ');
  expect(seen).toContain('both tips on');
});

test.each([
  [80, 24, true],
  [60, 16, false],
] as const)('at %dx%d a person sees what the uncertainty is made of', async (cols, rows, whole) => {
  const view = meterView(metered(4.7), { ...freshMeterUi(), budget: true });
  const frame = frameOf(createElement(MeterScreen, { view, cols, rows, theme: unicode }), cols);
  const seen = (await seenOf(frame, cols, rows)).lines.join('\n');
  expect(seen).toMatch(/calibration +0\.\d+ ohm +\d+\.\d %/);
  expect(seen.includes('repeatability')).toBe(whole);
  expect(seen).toMatch(/expanded \(95 %\) +0\.\d+ ohm/);
  expect(seen).not.toContain('touches');
});
