// Bridges, film checks and holds by the real firmware on the emulated probe, in virtual time, with hands that do as they are told.
import { describe, expect, test } from 'vitest';
import type { BridgeCheck, Guide } from '../../src/guide/types.ts';
import type { Entry } from '../../src/record/entries/entries.ts';
import { kindsGuide } from '../support/kinds-guide.ts';
import { type VirtualJob, virtualJob } from '../support/virtual-job.ts';

/** Runs a job over these of the guide's checks; whatever it came to, its record must be borne out by its codes. */
async function job(checks: string[], options: Partial<VirtualJob> = {}) {
  const { guide, text } = kindsGuide();
  const some = { ...guide, checks: checks.map((id) => guide.checks.find((check) => check.id === id)!) };
  const done = await virtualJob({ guide: { guide: some, text }, seed: 7, ...options });
  expect(done.report.departures).toEqual([]);
  return done;
}

const outcomes = (entries: Entry[]) =>
  entries.flatMap((entry) => ('attempt' in entry ? [`${entry.check} ${entry.outcome}`] : []));

describe('a healthy device', { timeout: 60_000 }, () => {
  test('passes every check; it is switched on once, and no ohms are measured after that', async () => {
    const { entries, state, of } = await job(['film', 'hold', 'press', 'lamp']);
    expect(outcomes(entries)).toEqual(['film pass', 'hold pass', 'press pass', 'lamp pass']);
    expect(state.job.result).toBe('passed');
    expect(of('power').map(({ to }) => to)).toEqual(['off', 'on']);
    expect(of('live')).toEqual([]);
    const [press, lamp] = of('bridge');
    expect(press).toMatchObject({ proven: true, answer: 'yes', by: 'hands', delayUs: null });
    expect(lamp).toMatchObject({ proven: true, answer: 'yes', by: 'light', respondedBefore: false });
    // the simulated device reacts in 80 to 200 ms; its light is told of at the latest two readings later
    expect(lamp!.delayUs).toBeGreaterThan(70_000);
    expect(lamp!.delayUs).toBeLessThan(215_000);
    const closedMs = (press!.closed!.openedUs - press!.closed!.closedUs) / 1000;
    expect(Math.abs(closedMs - 300)).toBeLessThan(3);
    const [hold] = of('steady');
    expect(hold!.hold!.heldUs).toBeGreaterThanOrEqual(2_000_000);
    expect(hold!.hold!.buckets.length).toBeGreaterThan(35);
  });

  test('is switched off before ohms are measured after a bridge, and no tip is live then', async () => {
    const { entries, of } = await job(['press', 'film']);
    expect(outcomes(entries)).toEqual(['press pass', 'film pass']);
    expect(of('power').map(({ to }) => to)).toEqual(['on', 'off']);
    expect(of('live')).toEqual([]);
  });

  test('with more voltage than a bridge may close is refused by the probe, and the record says why', async () => {
    const { guide, text } = kindsGuide();
    const press = guide.checks.find(({ id }) => id === 'press')! as BridgeCheck;
    const high: Guide = {
      ...guide,
      rails: [{ ...guide.rails[0]!, volt: 9 }],
      checks: [{ ...press, idle: { quantity: 'voltage', min: 8, max: 10 } }],
    };
    const { of, report } = await virtualJob({ guide: { guide: high, text }, seed: 7 });
    expect(report.departures).toEqual([]);
    expect(of('bridge').map(({ outcome, closed }) => [outcome, closed])).toEqual(Array(3).fill(['live', null]));
    expect(of('bridge')[0]?.why).toContain('6 V');
  });

  test('without a light sensor is asked about', async () => {
    const { of } = await job(['lamp'], { lightSensor: false });
    expect(of('bridge')[0]).toMatchObject({ outcome: 'pass', by: 'hands', light: [] });
  });

  test('with a dead display can not be told: unsure is neither pass nor fail', async () => {
    const { entries } = await job(['press'], { display: { dead: true } });
    expect(new Set(outcomes(entries))).toEqual(new Set(['press borderline']));
  });
});

describe('a faulty device', { timeout: 60_000 }, () => {
  test.each([
    { fault: 'contact=film', check: 'film', outcome: 'fail' },
    { fault: 'contact=weak', check: 'hold', outcome: 'fail' },
    { fault: 'contact=intermittent', check: 'hold', outcome: 'fail' },
    { fault: 'trace=open', check: 'press', outcome: 'fail' },
    { fault: 'contact=high:20kohm', check: 'press', outcome: 'fail' },
    { fault: 'contact=high:20kohm', check: 'lamp', outcome: 'fail' },
    // what a bridge draws through a film breaks it: only the dry level shows it
    { fault: 'contact=film', check: 'press', outcome: 'pass' },
    { fault: 'pull=open', check: 'press', outcome: 'fail' },
  ])('$fault: $check is a $outcome', async ({ fault, check, outcome }) => {
    const { state } = await job([check], { faults: [fault] });
    expect(state.job.checks[check]?.outcome).toBe(outcome);
  });
});

describe('a hand that goes astray', { timeout: 60_000 }, () => {
  test('tips that come off while the bridge is closed prove nothing: nobody is asked, and the check is done again', async () => {
    let lifted = false;
    const { entries, of } = await job(['press'], {
      onState: (state, _event, { simulation }) => {
        if (state.run?.stage !== 'closing' || lifted) return;
        lifted = true;
        simulation.hands.perform([{ do: 'lift' }]);
      },
    });
    expect(outcomes(entries)).toEqual(['press borderline', 'press pass']);
    expect(of('bridge')[0]).toMatchObject({ proven: false, answer: null });
  });

  test('a check that is skipped while the bridge is closed leaves no closed bridge to the next one', async () => {
    let skipped = false;
    const { entries, of } = await job(['press', 'film'], {
      onState: (state, _event, { simulation, session }) => {
        if (state.run?.stage !== 'closing' || skipped) return;
        skipped = true;
        simulation.hands.perform([{ do: 'lift' }]);
        queueMicrotask(() => session.command({ type: 'skip', reason: 'in the way', by: 'person' }));
      },
    });
    expect(outcomes(entries)).toEqual(['film pass']);
    expect(of('skipped')).toHaveLength(1);
  });

  test('a hold that is cut short is asked for again', async () => {
    let lifted = false;
    const { entries } = await job(['hold'], {
      onState: (state, _event, { simulation }) => {
        if (state.run?.stage !== 'holding' || (state.run.progress ?? 0) < 0.4 || lifted) return;
        lifted = true;
        // a tip slips off the pad while the hands are busy flexing
        simulation.bench.setTip('a', { on: 'air' }, 0);
      },
    });
    expect(outcomes(entries)).toEqual(['hold unsteady', 'hold pass']);
  });

  test('tips that lift as soon as the dry level is read are not taken for both levels', async () => {
    let lifted = false;
    const { entries, of } = await job(['film'], {
      onState: (state, _event, { simulation }) => {
        if (state.run?.kindProgress?.kind !== 'dry-normal' || lifted) return;
        lifted = true;
        simulation.hands.perform([{ do: 'lift' }]);
      },
    });
    expect(outcomes(entries)).toEqual(['film unsteady', 'film pass']);
    expect(of('levels')[0]).toMatchObject({ normal: null });
  });
});
