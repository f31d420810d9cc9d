// What the emulated probe measures: known resistances and voltages must come out within the stated uncertainty of an uncalibrated probe.
import { describe, expect, test } from 'vitest';
import { EmulatedProbe } from '../../../sim/probe/emulated-probe.ts';
import { nominalParts } from '../../../sim/probe/front-end-parts.ts';
import { randomOf } from '../../../sim/random.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { Reading } from '../../../src/measure/types.ts';
import type { ReadingsNotice, Request } from '../../../src/protocol/messages.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { ProbeHost } from '../../support/probe-host.ts';
import { onResistor, onVoltage, SetWorld } from '../../support/worlds.ts';

const settleUs = 60_000;
const windowUs = 40_000;

function bench(seed: number) {
  const world = new SetWorld();
  const host = new ProbeHost(new EmulatedProbe({ seed, world, serial: 1 }));
  host.begin();
  return { world, host };
}

/** The readings of the last stretch of time as one window. */
function measured(host: ProbeHost): { reading: Reading; notice: ReadingsNotice } {
  host.run(settleUs);
  const fromUs = host.probe.nowUs;
  host.run(windowUs);
  const notices = host.readings(fromUs);
  const notice = notices.at(-1)!;
  const alike = notices.filter((one) => one.range === notice.range && one.flags === notice.flags);
  const window = {
    tUs: notice.tUs,
    periodUs: notice.periodUs,
    range: notice.range,
    level: notice.flags & flagBits.dry ? ('dry' as const) : ('normal' as const),
    flagBits: notice.flags,
    codes: alike.flatMap((one) => Array.from(one.codes)),
  };
  return { reading: readWindow(window, nominalCalibration), notice };
}

const mode = (level: 'normal' | 'dry', input: 'tips' | 'short' | 'check' | 'open' = 'tips'): Request => ({
  type: 'mode',
  mode: 'resistance',
  level,
  range: 'auto',
  input,
});

describe('resistance', () => {
  const random = randomOf(9, 'resistances');
  const ohms = Array.from({ length: 24 }, () => 10 ** (-1.5 + 8.3 * random.uniform()));

  test.each(ohms)('%d ohm at both levels', (ohm) => {
    const { world, host } = bench(Math.round(ohm * 1e3));
    for (const level of ['normal', 'dry'] as const) {
      host.do(mode(level));
      world.set(onResistor(ohm));
      const { reading, notice } = measured(host);
      expect(notice.flags & flagBits.seatA).toBeTruthy();
      expect(notice.flags & flagBits.seatB).toBeTruthy();
      expect(reading.state).toBe('in-range');
      expect(Math.abs(reading.value - ohm), `${level}: ${reading.value} +- ${reading.u}`).toBeLessThan(4 * reading.u);
      world.set({});
    }
  });

  test('in the air: above the range, and no tip seated', () => {
    const { host } = bench(3);
    const { reading, notice } = measured(host);
    expect(reading.state).toBe('above-range');
    expect(notice.flags & (flagBits.seatA | flagBits.seatB)).toBe(0);
  });

  test('internal short, check resistor and open, whatever is at the tips', () => {
    const { world, host } = bench(4);
    world.set(onResistor(3.3));
    host.do(mode('normal', 'check'));
    const check = measured(host).reading;
    expect(Math.abs(check.value - 100)).toBeLessThan(4 * check.u);
    host.do(mode('normal', 'short'));
    const short = measured(host).reading;
    expect(Math.abs(short.value)).toBeLessThan(0.02);
    host.do(mode('normal', 'open'));
    expect(measured(host).reading.state).toBe('above-range');
  });
});

test.each([1.8, 3.8, 12, -4.2, 0])('%d V', (volt) => {
  const { world, host } = bench(5);
  host.do({ type: 'mode', mode: 'voltage', level: 'normal', range: 'auto', input: 'tips' });
  world.set(onVoltage(volt, 100));
  const { reading } = measured(host);
  expect(reading.quantity).toBe('voltage');
  expect(Math.abs(reading.value - volt)).toBeLessThan(4 * reading.u);
});

describe('converter', () => {
  /** Standard deviation of single readings at one rate, in codes of a 16-sum. */
  function scatter(rate: 'precise' | 'standard' | 'fast'): number {
    const world = new SetWorld();
    // without pickup: the converter's own noise alone
    const host = new ProbeHost(new EmulatedProbe({ seed: 6, world, parts: nominalParts }));
    host.begin();
    host.do({ type: 'start', rate, batch: 8 });
    world.set(onResistor(1_000));
    host.run(settleUs);
    const fromUs = host.probe.nowUs;
    host.run(1_500_000);
    const codes = host
      .readings(fromUs)
      .slice(2, -2)
      .flatMap((one) => Array.from(one.codes));
    const mean = codes.reduce((sum, each) => sum + each, 0) / codes.length;
    return Math.sqrt(codes.reduce((sum, each) => sum + (each - mean) ** 2, 0) / (codes.length - 1));
  }

  test('noise of a 16-sum is 4 times that of a conversion, quantising included (1/sqrt 12: Widrow and Kollar, Quantization Noise, 2008)', () => {
    // half a code rms at the specified clock (the model's own figure), plus the quantiser's
    const expected = 4 * Math.sqrt(0.5 ** 2 + 1 / 12);
    expect(scatter('precise') / expected).toBeGreaterThan(0.9);
    expect(scatter('precise') / expected).toBeLessThan(1.1);
  });

  test('a faster converter clock is noisier', () => {
    const [precise, standard, fast] = [scatter('precise'), scatter('standard'), scatter('fast')];
    expect(standard).toBeGreaterThan(precise * 1.05);
    expect(fast).toBeGreaterThan(standard * 1.2);
  });
});
