// The devices on paper that the figures are made of: their guides are sound, their circuit is right, their intervals are the published ones.
import { describe, expect, test } from 'vitest';
import { randomOf } from '../../../sim/random.ts';
import { predictChecks } from '../../../src/checks/guides.ts';
import { shareOf } from './interval.ts';
import { madeGuide } from './made-guide.ts';
import type { Found } from './paper-device.ts';
import { PaperDevice } from './paper-device.ts';
import { paperGuides, paperResult, type RowName, rows } from './paper-rows.ts';
import { isSeen } from './specimen.ts';
import { strange } from './strange-devices.ts';

describe('intervals', () => {
  test('are those of NIST/SEMATECH e-Handbook 7.2.4.2 where the formula is', () => {
    // 4 of 20: its two equations, solved for 2.5 % here (the page has 5 % a side)
    const { low, high } = shareOf(4, 20);
    const tail = (p: number, from: number, to: number): number => {
      let sum = 0;
      for (let k = from; k <= to; k++) sum += choose(20, k) * p ** k * (1 - p) ** (20 - k);
      return sum;
    };
    expect(tail(high, 0, 4)).toBeCloseTo(0.025, 10);
    expect(tail(low, 4, 20)).toBeCloseTo(0.025, 10);
  });

  test('of none and of all have the closed form 1 - 0.025^(1/n)', () => {
    expect(shareOf(0, 1000)).toMatchObject({ share: 0, low: 0 });
    expect(shareOf(0, 1000).high).toBeCloseTo(1 - 0.025 ** (1 / 1000), 12);
    expect(shareOf(30, 30).low).toBeCloseTo(0.025 ** (1 / 30), 12);
    expect(shareOf(0, 0).high).toBeNaN();
  });
});

function choose(n: number, k: number): number {
  let all = 1;
  for (let i = 1; i <= k; i++) all *= (n - k + i) / i;
  return all;
}

describe('made-up guides', () => {
  test.each(Array.from({ length: 12 }, (_, k) => k))(
    'guide %i passes every check of its own while it is sound',
    (seed) => {
      const guide = madeGuide(seed);
      for (const { check, insideLimits } of predictChecks(guide)) expect(insideLimits, check).not.toBe(false);
      expect(new Set(guide.links.map(({ id }) => id)).size).toBe(guide.links.length);
      const units = new Set(guide.units.map(({ id }) => id));
      for (const { unit, between, id } of guide.links) {
        for (const one of unit === null ? between! : [unit]) expect(units.has(one), id).toBe(true);
      }
    },
  );
});

describe('a device on paper', () => {
  test.each(Array.from({ length: 6 }, (_, k) => k))(
    'of guide %i reads what the circuit of its guide predicts, within its spread',
    (seed) => {
      const guide = madeGuide(seed);
      const still = { ...guide, links: guide.links.map((link) => ({ ...link, spread: 0 })) };
      const device = new PaperDevice(
        { guide, device: still, faults: [], right: [], what: '' },
        randomOf(seed, 'still'),
      );
      for (const { check: id, predicted } of predictChecks(guide)) {
        const check = guide.checks.find((one) => one.id === id)!;
        if (check.kind === 'look' || check.kind === 'presses') continue;
        const found: Found = { power: check.power, pressed: check.pressed, access: check.access, level: 'normal' };
        if (check.kind === 'voltage') expect(device.volt(found, check.pads)).toBeCloseTo(predicted.volt!, 2);
        else if (check.kind === 'bridge') expect(device.closed(check).responds).toBe(predicted.responds);
        // beyond the probe's range any open is one
        else if (predicted.ohm! < 10e6) expect(device.ohm(found, check.pads) / predicted.ohm!).toBeCloseTo(1, 2);
        else expect(device.ohm(found, check.pads)).toBeGreaterThan(10e6);
      }
    },
  );
});

test('what a guide does not hold shows in one of its checks', () => {
  const random = randomOf(5, 'strange');
  for (let k = 0; k < 40; k++) {
    const { device, guide } = strange(madeGuide(k % 4), random);
    expect(isSeen(device, [])).toBe(true);
    expect(device.checks).toBe(guide.checks);
  }
});

describe('a job on paper', async () => {
  const guides = await paperGuides(3);

  test.each(Object.keys(rows) as RowName[])(
    'of row %s comes to a conclusion after some checks, and the same one again',
    (row) => {
      const result = paperResult(row, guides, 3, 1);
      expect(result.checks).toBeGreaterThan(0);
      expect(result.kind).not.toBe('open');
      expect(paperResult(row, guides, 3, 1)).toEqual(result);
    },
  );
});
