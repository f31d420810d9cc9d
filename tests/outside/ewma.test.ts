// The EWMA chart against the handbook's worked example; source in data/ewma.json.
import { describe, expect, test } from 'vitest';
import { probeHealth } from '../../src/calibrate/health/probe-health.ts';
import { ewmaChart, movingRangeSd } from '../../src/statistics/ewma.ts';
import data from './data/ewma.json' with { type: 'json' };
import { normals } from './seeded-normals.ts';

const settings = { target: data.target, sd: data.s, lambda: data.lambda, width: data.L };

test('has the averages and limits of e-Handbook 6.3.2.4, and no signal', () => {
  const { points, signal, began } = ewmaChart(data.x, settings);
  points.forEach(({ average }, i) => {
    expect(average).toBeCloseTo(data.full[i]!, 6);
    expect(Math.abs(average - data.published_2dp[i]!)).toBeLessThanOrEqual(0.005 + 1e-9);
  });
  // the page's limits are those of an endless chart, its lower one cut in place of rounded
  expect(points.at(-1)!.upper).toBeCloseTo(data.UCL, 5);
  expect(Math.abs(points.at(-1)!.lower - data.LCL_published)).toBeLessThan(2e-4);
  for (const [at, upper] of Object.entries(data.time_varying_UCL)) {
    const lengthened = ewmaChart([...data.x, ...data.x], settings).points[Number(at) - 1]!;
    expect(lengthened.upper).toBeCloseTo(upper, 4);
  }
  expect({ signal, began }).toEqual({ signal: null, began: null });
});

test('has the scale of moving ranges: 1.128 (e-Handbook 6.3.2.2)', () => {
  expect(1 / movingRangeSd([0, 1])).toBeCloseTo(1.128, 3);
});

test('finds a drift and about when it began', () => {
  const draw = normals(11);
  const values = Array.from({ length: 60 }, (_, i) => ({
    ohm: 100 + 0.02 * draw() + Math.max(0, i - 39) * 0.01,
    u: 0.002,
  }));
  const health = probeHealth(values, { lambda: 0.2, deviations: 3, baseline: 12 });
  expect(health.state).toBe('drifting');
  // the chart begins after the baseline of 12
  expect(Math.abs(health.chart!.began! + 12 - 40)).toBeLessThanOrEqual(6);
  expect(health.chart!.signal!).toBeGreaterThan(health.chart!.began!);
});

test('calls few healthy probes drifting, though it knows what is usual from twelve proofs only', () => {
  const probes = 1000;
  let alarms = 0;
  for (let probe = 0; probe < probes; probe++) {
    const draw = normals(probe * 31);
    const values = Array.from({ length: 32 }, () => ({ ohm: 0.003 + 0.001 * draw(), u: 0.0005 }));
    if (probeHealth(values, { lambda: 0.2, deviations: 3, baseline: 12 }).state !== 'steady') alarms++;
  }
  // twenty correlated looks at 0.27 % each
  expect(alarms / probes).toBeLessThan(0.04);
});

test('says nothing before there is a proof beyond the baseline, and is not alarmed by equal values', () => {
  const equal = (n: number) => Array.from({ length: n }, () => ({ ohm: 100, u: 0.01 }));
  expect(probeHealth(equal(12), { lambda: 0.2, deviations: 3, baseline: 12 })).toMatchObject({
    state: 'few',
    needed: 1,
  });
  expect(probeHealth(equal(13), { lambda: 0.2, deviations: 3, baseline: 12 }).state).toBe('steady');
  const nudged = [...equal(20), { ohm: 100.01, u: 0.01 }];
  expect(probeHealth(nudged, { lambda: 0.2, deviations: 3, baseline: 12 }).state).toBe('steady');
  const gone = [...equal(20), ...Array.from({ length: 8 }, () => ({ ohm: 100.1, u: 0.01 }))];
  const away = probeHealth(gone, { lambda: 0.2, deviations: 3, baseline: 12 });
  expect(away).toMatchObject({ state: 'drifting', chart: { began: 8 } });
  expect(probeHealth([...gone, ...equal(30)], { lambda: 0.2, deviations: 3, baseline: 12 }).state).toBe('returned');
});

describe('one value that strays', () => {
  const usual = { lambda: 0.2, deviations: 3, baseline: 12 };
  const quiet = (seed: number, n: number) => {
    const draw = normals(seed);
    return Array.from({ length: n }, () => ({ ohm: 0.00004 * draw(), u: 0.00003 }));
  };

  test('makes no drift, wherever it comes and however far it is', () => {
    for (let seed = 1; seed <= 20; seed++) {
      for (const at of [12, 13, 17, 25]) {
        const values = quiet(seed * 17, 26);
        values[at] = { ohm: 0.031, u: 0.00003 };
        for (let n = at + 1; n <= values.length; n++)
          expect(probeHealth(values.slice(0, n), usual).state).toBe('steady');
      }
    }
  });

  test('in the baseline hides no drift to come', () => {
    const values = [...quiet(5, 12), ...quiet(6, 12).map(({ ohm, u }) => ({ ohm: ohm + 0.001, u }))];
    values[4] = { ohm: 0.031, u: 0.00003 };
    expect(probeHealth(values, usual).state).toBe('drifting');
  });

  test('is told from a step: three standard deviations are found in most of twenty proofs', () => {
    let found = 0;
    for (let probe = 0; probe < 200; probe++) {
      const draw = normals(probe * 31 + 7);
      const values = Array.from({ length: 32 }, (_, i) => ({
        ohm: 1 + 0.001 * (draw() + (i < 12 ? 0 : 3)),
        u: 0.0005,
      }));
      if (probeHealth(values, usual).state === 'drifting') found++;
    }
    expect(found / 200).toBeGreaterThan(0.85);
  });
});
