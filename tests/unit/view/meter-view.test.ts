import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import {
  freshMeter,
  linkMeter,
  type MeterState,
  stepMeter,
  stepMeterSession,
  zeroMeter,
} from '../../../src/session/meter/meter-reducer.ts';
import { statisticsOf } from '../../../src/session/meter/meter-statistics.ts';
import { freshMeterUi, measuredNext, meterStep, meterView } from '../../../src/view/meter/meter-view.ts';
import { batchAt, seated, volts } from '../../support/batches.ts';

const inAir = flagBits.excitation | flagBits.auto;

function fed(meter: MeterState, ohms: readonly (number | null)[]): MeterState {
  return ohms.reduce<MeterState>((state, ohm) => {
    const batch = batchAt(ohm ?? 2e7, state.live.tUs, ohm === null ? inAir : seated);
    return stepMeter(state, batch, nominalCalibration);
  }, meter);
}

const meter = () => linkMeter(freshMeter('resistance'), true, 'probe 7; nominal');

describe('the statistics of a meter', () => {
  test('leave out how a touch begins and ends, opens, and tips in the air', () => {
    const seen = statisticsOf(fed(meter(), [null, 900, 47, 47, 47, 3000, null, 800, 50, 2000, 2e7, null]).count);
    expect(seen.contacts).toBe(2);
    expect(seen.count).toBe(4);
    expect(seen.min).toBeCloseTo(47, 0);
    expect(seen.max).toBeCloseTo(50, 0);
  });

  test('are those of the values: mean and standard deviation by their definitions', () => {
    const ohm = fc.double({ min: 10, max: 90, noNaN: true });
    fc.assert(
      fc.property(fc.array(ohm, { minLength: 2, maxLength: 40 }), (ohms) => {
        const one = (value: number) => statisticsOf(fed(meter(), [value, value, value]).count).mean;
        const values = ohms.map(one);
        const seen = statisticsOf(fed(meter(), [50, ...ohms, 50]).count);
        const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
        const squares = values.reduce((sum, v) => sum + (v - mean) ** 2, 0);
        expect(seen.count).toBe(values.length);
        expect(seen.mean).toBeCloseTo(mean, 6);
        expect(seen.spread).toBeCloseTo(Math.sqrt(squares / (values.length - 1)), 6);
      }),
      { numRuns: 30 },
    );
  });

  test('begin anew when asked, and outlast a lost link', () => {
    const seen = fed(meter(), [47, 47, 47, 47]);
    expect(statisticsOf(linkMeter(seen, false, 'unplugged').count).count).toBe(2);
    expect(statisticsOf(zeroMeter(seen).count)).toMatchObject({ count: 0, contacts: 0 });
  });
});

describe('what is measured', () => {
  test('changes in turn by a key: ohms, ohms at the dry level, volts; what was seen before is forgotten', () => {
    const seen = fed(meter(), [47, 47, 47, 47]);
    expect(meterStep(freshMeterUi(), { input: 'm' }, meterView(seen, freshMeterUi())).action).toBe('measure');
    const turns = [seen];
    for (let n = 0; n < 3; n++) {
      const { state, effects } = stepMeterSession(turns.at(-1)!, { type: 'measure', ...measuredNext(turns.at(-1)!) });
      const { quantity, level } = state;
      expect(effects).toEqual([{ do: 'mode', quantity, level }]);
      expect(statisticsOf(state.count).count).toBe(0);
      turns.push(state);
    }
    expect(turns.map(({ quantity, level }) => [quantity, level])).toEqual([
      ['resistance', 'normal'],
      ['resistance', 'dry'],
      ['voltage', 'normal'],
      ['resistance', 'normal'],
    ]);
    expect(new Set(turns.map((turn) => meterView(turn, freshMeterUi()).title)).size).toBe(3);
  });

  test('is set once there is a probe', () => {
    const { effects } = stepMeterSession(freshMeter('resistance'), {
      type: 'measure',
      quantity: 'voltage',
      level: 'normal',
    });
    expect(effects).toEqual([]);
  });
});

describe('the meter screen', () => {
  test('shows the reading at the tips; a held one stays while the tips go on', () => {
    const first = fed(meter(), [47, 47, 47, 47, 47, 47, 47]);
    const held = meterStep(freshMeterUi(), { input: 'h' }, meterView(first, freshMeterUi())).ui;
    const then = fed(first, [5, 5, 5, 5, 5, 5, 5]);
    expect(meterView(then, held).reading).toMatchObject({ held: true, unit: 'ohm' });
    expect(Number(meterView(then, held).reading.number)).toBeCloseTo(47, 0);
    expect(Number(meterView(then, freshMeterUi()).reading.number)).toBeCloseTo(5, 0);
    expect(meterStep(held, { input: 'h' }, meterView(then, held)).ui.held).toBeNull();
  });

  test('shows on a key what the uncertainty is made of, of the held reading as long as it is held', () => {
    const first = fed(meter(), [47, 47, 47, 47, 47, 47, 47]);
    expect(meterView(first, freshMeterUi()).budget).toBeNull();
    const asked = meterStep(freshMeterUi(), { input: 'u' }, meterView(first, freshMeterUi())).ui;
    const held = meterStep(asked, { input: 'h' }, meterView(first, asked)).ui;
    const then = fed(first, [5, 5, 5, 5, 5, 5, 5]);
    const budget = meterView(first, asked).budget!;
    expect(budget.at(-1)).toContain('expanded (95 %)');
    expect(meterView(then, held).budget).toEqual(budget);
    expect(meterView(then, asked).budget).not.toEqual(budget);
    expect(meterView(fed(first, [null]), asked).budget).toEqual([]);
    expect(meterStep(asked, { input: 'u' }, meterView(first, asked)).ui.budget).toBe(false);
  });

  test('says at once that there is a voltage where ohms are wanted; as a voltmeter it is what is measured', () => {
    const live = { ...volts(1.8, 0), flags: { ...volts(1.8, 0).flags, live: true } };
    expect(meterView(stepMeter(meter(), live, nominalCalibration), freshMeterUi()).live).toBe(true);
    const voltmeter = linkMeter(freshMeter('voltage'), true, '');
    const view = meterView(stepMeter(voltmeter, live, nominalCalibration), freshMeterUi());
    expect(view).toMatchObject({ live: false, contact: { text: 'both tips on' } });
    expect(Number(view.reading.number)).toBeCloseTo(1.8, 1);
  });

  test('shows no number without a link or with the tips in the air', () => {
    const seen = fed(meter(), [47, 47, 47]);
    expect(meterView(linkMeter(seen, false, 'unplugged'), freshMeterUi()).reading.number).toBe('---');
    expect(meterView(fed(seen, [null]), freshMeterUi()).reading.number).toBe('---');
  });

  test.each([
    ['z', { action: 'zero' }],
    ['e', { action: 'export' }],
    ['q', { leave: true }],
  ] as const)('has a key %s', (input, wanted) => {
    expect(meterStep(freshMeterUi(), { input }, meterView(meter(), freshMeterUi()))).toMatchObject(wanted);
  });
});
