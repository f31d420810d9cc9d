// Whole sessions over a bad wire, with a slow host, and with a probe that resets in mid-check: what is lost may leave a
// check undecided, but nothing that is lost turns a pass into a fail or a fail into a pass.
import { describe, expect, test } from 'vitest';
import type { WireFaultRates } from '../../sim/index.ts';
import { type WiredJob, type WiredOutcome, wiredJob } from './wired-session.ts';

/** Runs of the worst wire for each device; more of them with `npm run durability`. */
const runs = Number(process.env.OHMWRIGHT_WIRE_RUNS ?? 1);

const undecided = ['borderline', 'unsteady', 'no-contact', 'live', null];

const devices: Record<string, string[]> = {
  healthy: [],
  open: ['wire-a=open'],
  'a few ohm': ['wire-a=high:4.7ohm'],
};

const clean = new Map<string, Promise<WiredOutcome>>();

function cleanRun(device: string, seed: number): Promise<WiredOutcome> {
  const key = `${device} ${seed}`;
  const run = clean.get(key) ?? wiredJob({ seed, faults: devices[device]! });
  clean.set(key, run);
  return run;
}

/** Runs a job under trouble and holds it against the clean run: every attempt, not only the last. */
async function troubled(device: string, job: WiredJob): Promise<WiredOutcome> {
  const truth = await cleanRun(device, job.seed);
  const run = await wiredJob({ ...job, faults: devices[device]! });
  for (const [check, outcome] of Object.entries(run.verdicts))
    expect([truth.verdicts[check], ...undecided], `${check} of ${device}, seed ${job.seed}`).toContain(outcome);
  for (const attempt of run.attempts) {
    const [check, outcome] = attempt.split(' ') as [string, string];
    expect([truth.verdicts[check], ...undecided], `an attempt at ${check}`).toContain(outcome);
  }
  expect(run.report.departures).toEqual([]);
  expect(run.state.phase).toBe('closed');
  // the count of gaps is that of their entries, and the result never claims more than the clean one
  expect(run.state.job.counts.gaps).toBe(run.entries.filter((entry) => entry.kind === 'gap').length);
  expect([truth.state.job.result, 'inconclusive']).toContain(run.state.job.result);
  return run;
}

describe('a clean wire', () => {
  test.each(Object.keys(devices))('a device that is %s gets its verdict, without gaps', async (device) => {
    const run = await cleanRun(device, 1);
    expect(run.state.job.result).toBe(device === 'healthy' ? 'passed' : 'failed');
    expect(run.verdicts.wire).toBe(device === 'healthy' ? 'pass' : 'fail');
    expect(run.state.job.counts.gaps).toBe(0);
    expect(run.wire).toEqual({ lost: 0, flipped: 0, doubled: 0, delayed: 0, stalls: 0, overflowed: 0 });
  });
});

const troubles: Record<string, WireFaultRates> = {
  'loses bytes': { lost: 2e-3 },
  'flips bits': { flipped: 2e-3 },
  'doubles bytes': { doubled: 2e-3 },
  'does all of it': { lost: 7e-4, flipped: 7e-4, doubled: 7e-4 },
  'spoils most frames': { flipped: 0.015 },
  'is late': { delayed: 0.05, delayTurns: 8 },
};

describe.each(Object.entries(troubles))('a wire that %s', { timeout: 120_000 }, (what, rates) => {
  test.each(Object.keys(devices))('never changes a verdict of a device that is %s', async (device) => {
    const seeds = what === 'does all of it' ? Array.from({ length: runs }, (_, k) => k + 1) : [1];
    for (const seed of seeds) {
      const run = await troubled(device, { seed, rates });
      const { lost, flipped, doubled, delayed } = run.wire;
      if (rates.delayed !== undefined) {
        expect(delayed).toBeGreaterThan(20);
        continue;
      }
      // what was spoilt was noticed, and is told in the record
      expect(lost + flipped + doubled).toBeGreaterThan(20);
      expect(run.state.job.counts.gaps).toBeGreaterThan(0);
      const counters = run.state.job.link as Record<string, number>;
      expect(counters.crcErrors! + counters.runts! + counters.retries!).toBeGreaterThan(0);
    }
  });
});

describe('a host that is slow to read', { timeout: 120_000 }, () => {
  test.each(Object.keys(devices))('loses readings beyond its buffer, never a verdict (%s)', async (device) => {
    const run = await troubled(device, {
      seed: 1,
      rates: { stalled: 0.005, stallTurns: 100, hostBufferBytes: 200 },
    });
    expect(run.wire.stalls).toBeGreaterThan(0);
    expect(run.wire.overflowed).toBeGreaterThan(0);
    const gaps = run.entries.flatMap((entry) => (entry.kind === 'gap' ? [entry] : []));
    expect(gaps.length).toBeGreaterThan(0);
  });
});

describe('a probe whose supply dips in mid-check', { timeout: 60_000 }, () => {
  test.each(Object.keys(devices))('resets, and the check is measured again (%s)', async (device) => {
    let dips = 0;
    const run = await troubled(device, {
      seed: 1,
      onState: (state, _event, { simulation: { bench, probe } }) => {
        const task = state.tasks[state.at];
        if (dips > 0 || task?.kind !== 'check' || task.id !== 'wire' || state.run?.stage !== 'touching') return;
        dips = 1;
        // not from within the delivery of the probe's own bytes
        bench.clock.at(bench.clock.nowUs + 1000, () => probe.brownOut());
      },
    });
    expect(dips).toBe(1);
    const gaps = run.entries.flatMap((entry) => (entry.kind === 'gap' ? [entry.cause] : []));
    expect(gaps).toContain('reset');
    const probes = run.entries.flatMap((entry) => (entry.kind === 'probe' ? [entry.identity] : []));
    expect(probes.at(-1)!.bootCount).toBeGreaterThan(probes[0]!.bootCount);
    expect(probes.at(-1)!.resetCause).toContain('brownOut');
    // it was measured after all
    expect(run.verdicts.wire).toBe((await cleanRun(device, 1)).verdicts.wire);
  });
});

describe('tips that stand on the wrong pads when the probe is found', () => {
  test('are not taken for the touch that is asked for', async () => {
    // an open pair: taken for tips held together, it would fail the proof
    const run = await wiredJob({
      seed: 5,
      prepare: ({ hands }) => hands.perform([{ do: 'touch', pads: ['P1', 'P3'] }]),
    });
    expect(run.state.job.result).toBe('passed');
    const proofs = run.entries.flatMap((entry) => (entry.kind === 'proof' ? [entry.outcome] : []));
    expect(proofs).toEqual(['pass', 'pass', 'pass', 'pass']);
  });
});
