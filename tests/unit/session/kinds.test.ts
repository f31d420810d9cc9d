import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Guide } from '../../../src/guide/types.ts';
import type { Hold } from '../../../src/measure/contact/steady-hold.ts';
import type { Closure } from '../../../src/measure/judge/closure.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { CaptureWindow, ContactEvent } from '../../../src/measure/types.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { entrySchema } from '../../../src/record/entries/entries.ts';
import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { rederiveBridge } from '../../../src/verify/evidence/rederive-bridge.ts';
import { rederiveDryNormal, rederiveSteady } from '../../../src/verify/evidence/rederive-touches.ts';
import { askOf } from '../../../src/view/job/ask.ts';
import { contactOf } from '../../../src/view/job/contact.ts';
import { connected, DryBench, lift, make, windowAt } from '../../support/dry-bench.ts';
import { kindsGuide } from '../../support/kinds-guide.ts';
import { runs } from '../../support/runs.ts';

const { contact } = lift as Extract<ContactEvent, { kind: 'lift' }>;

/** Returns the guide with only these of its checks. */
function only(...ids: string[]): Guide {
  const { guide } = kindsGuide();
  return { ...guide, checks: ids.map((id) => guide.checks.find((check) => check.id === id)!) };
}

function voltWindow(volt: number, n = 27, extra = 0): CaptureWindow {
  const { nZero, codesPerVolt } = nominalCalibration.voltage;
  const codes = Array.from({ length: n }, (_, i) => Math.round(nZero + codesPerVolt * volt) + ((i * 7) % 5) - 2);
  const bits = flagBits.voltage | flagBits.seatA | flagBits.seatB | extra;
  return { tUs: 1_000_000, periodUs: 884, range: 0, level: 'normal', flagBits: bits, codes };
}

function captured(window: CaptureWindow): ContactEvent {
  return { kind: 'captured', tUs: 1_030_000, window, contact, reading: readWindow(window, nominalCalibration) };
}

const idleAt = (volt: number): ContactEvent => captured(voltWindow(volt));

function closure(volt: number, change: Partial<Closure> = {}): JobSessionEvent {
  const windows = [voltWindow(volt, 330, flagBits.bridge)];
  return {
    type: 'closure',
    closure: { windows, closedUs: 1_100_000, openedUs: 1_400_000, openedBy: 'timeUp', ...change },
  };
}

const clock = (tUs: number): JobSessionEvent => ({ type: 'clock', tUs });
const light = (tUs: number): JobSessionEvent => ({ type: 'light', change: { tUs, code: 500 } });

function dryWindow(ohm: number): CaptureWindow {
  // the dry level has ten times the gain and a tenth of the voltage: the same codes a range further up
  const normal = windowAt(Math.max(ohm, 1.3));
  return { ...normal, level: 'dry', flagBits: normal.flagBits | flagBits.dry };
}

/** A probe that can do these things beside feeling its tips. */
function probeThat(...can: string[]): JobSessionEvent {
  const found = connected as Extract<JobSessionEvent, { type: 'connected' }>;
  return { ...found, identity: { ...found.identity, capabilities: ['seatSense', ...can] } };
}

const able = probeThat('bridge', 'dryLevel');
const withLight = probeThat('bridge', 'dryLevel', 'lightSensor');

/** Returns a bench that stands at the first check of a guide. */
function at(guide: Guide, probe: JobSessionEvent = able): DryBench {
  return new DryBench(guide)
    .give(probe)
    .answer('yes')
    .answer('yes')
    .touch(0.002)
    .happen(make, captured(windowAt(100)));
}

const bridged = (bench: DryBench) => bench.effects.filter((effect) => effect.do === 'bridge').length;

function last(bench: DryBench) {
  return bench.entries.filter((entry) => 'attempt' in entry).at(-1)!;
}

function isBorneOut(bench: DryBench): void {
  for (const entry of bench.entries) {
    expect(entrySchema.safeParse(entry), entry.kind).toMatchObject({ success: true });
    if (entry.kind === 'bridge') expect(rederiveBridge(entry, nominalCalibration).discrepancies).toEqual([]);
    if (entry.kind === 'levels') expect(rederiveDryNormal(entry, nominalCalibration).discrepancies).toEqual([]);
    if (entry.kind === 'steady') expect(rederiveSteady(entry, nominalCalibration).discrepancies).toEqual([]);
  }
}

describe('a bridge check', () => {
  test('closes only when the idle voltage has settled as wanted, asks when proven, and passes on a response', () => {
    const bench = at(only('press'));
    expect(bench.state.run?.prompt).toMatchObject({ act: 'touch', check: 'press', pads: ['P', 'G'] });
    bench.happen(make);
    expect(bridged(bench)).toBe(0);
    bench.happen(idleAt(1.8));
    expect(bench.effects.at(-1)).toEqual({ do: 'bridge', durationMs: 300 });
    bench.give(closure(0.01));
    expect(bench.state.run?.prompt).toMatchObject({ act: 'answer', check: 'press', question: 'Did it start?' });
    bench.answer('yes');
    expect(last(bench)).toMatchObject({ kind: 'bridge', outcome: 'pass', proven: true, answer: 'yes', by: 'person' });
    expect(bench.state.job.checks.press?.attempts[0]?.evidence).toMatchObject({
      kind: 'bridge',
      proven: true,
      answer: 'yes',
    });
    isBorneOut(bench);
  });

  test('is answered by the button of the probe: short is yes, long is no, and neither repeats nor skips', () => {
    for (const [long, outcome] of [
      [false, 'pass'],
      [true, 'fail'],
    ] as const) {
      const bench = at(only('press')).happen(make, idleAt(1.8)).give(closure(0.01));
      bench.give({ type: 'button', long, standing: null });
      expect(last(bench)).toMatchObject({ by: 'button', outcome });
      expect(bench.kinds()).not.toContain('skipped');
      expect(bench.kinds()).not.toContain('repeat');
    }
  });

  test('with a closure that is not proven asks nothing and says nothing, three times, and then goes on without a pass', () => {
    const bench = at(only('press'));
    for (let i = 0; i < 3; i++) {
      bench.happen(make, idleAt(1.8)).give(closure(1.79));
      expect(bench.state.run?.prompt?.act).toBe('lift');
      bench.happen(lift);
    }
    expect(bench.state.job.checks.press?.attempts.map((one) => one.outcome)).toEqual([
      'borderline',
      'borderline',
      'borderline',
    ]);
    expect(bench.state.job.checks.press?.attempts[0]?.evidence).toMatchObject({ proven: false });
    expect(bench.state.job.result).not.toBe('passed');
    isBorneOut(bench);
  });

  test.each([
    [0.1, 'fail'],
    [2.6, 'fail'],
    [1.6, 'borderline'],
  ] as const)('does not close at an idle voltage of %s V', (volt, outcome) => {
    const bench = at(only('press')).happen(make, idleAt(volt));
    expect(bridged(bench)).toBe(0);
    expect(last(bench)).toMatchObject({ outcome, closed: null, proven: false });
    isBorneOut(bench);
  });

  test('takes a refusal for too much voltage as a live tip, and any other as unknown', () => {
    for (const [status, outcome] of [
      ['overVoltage', 'live'],
      ['wrongMode', 'unsteady'],
    ] as const) {
      const bench = at(only('press')).happen(make, idleAt(1.8)).give({ type: 'bridge-refused', status });
      expect(last(bench)).toMatchObject({ outcome, closed: null });
      isBorneOut(bench);
    }
  });

  test('does not wait for ever for the word of a closure', () => {
    const bench = at(only('press')).happen(make, idleAt(1.8)).give(clock(1_200_000));
    expect(bench.state.run?.stage).toBe('closing');
    bench.give(clock(9_000_000));
    expect(last(bench)).toMatchObject({ outcome: 'unsteady', closed: null });
  });

  test('takes no answer that was given to another question', () => {
    const bench = at(only('press')).happen(make, idleAt(1.8)).give(closure(0.01));
    bench.give({ type: 'answer', prompt: 'p1', answer: 'yes', by: 'person' });
    expect(bench.state.run?.stage).toBe('asking');
  });

  test('leaves the tips time to lift while the question is open', () => {
    const bench = at(only('press')).happen(make, idleAt(1.8)).give(closure(0.01)).happen(lift).answer('no');
    expect(last(bench)).toMatchObject({ outcome: 'fail' });
    expect(bench.state.tasks[bench.state.at]).toMatchObject({ kind: 'proof', when: 'closing' });
  });

  test('waits for the lift, and asks for the power to be off, before the probe is set to ohms again', () => {
    const bench = at(only('press', 'film')).happen(make, idleAt(1.8)).give(closure(0.01)).answer('yes');
    const ohms = () =>
      bench.effects.some((effect, i) => i >= asked && effect.do === 'mode' && effect.set.mode === 'resistance');
    const asked = bench.effects.findIndex((effect) => effect.do === 'bridge');
    expect(ohms()).toBe(false);
    bench.happen(lift);
    const after = bench.effects
      .slice(asked)
      .flatMap((effect) =>
        effect.do === 'prompt' ? [effect.prompt.act] : effect.do === 'mode' ? [effect.set.mode] : [],
      );
    expect(after).toEqual(['answer', 'lift', 'power', 'resistance', 'touch']);
  });

  test('that is given up while the bridge is closed stores nothing of it', () => {
    const bench = at(only('press', 'film')).happen(make, idleAt(1.8));
    bench.give({ type: 'skip', reason: 'no', by: 'person' }, closure(0.01));
    expect(bench.kinds()).not.toContain('bridge');
    bench.happen(lift);
    expect(bench.state.tasks[bench.state.at]).toMatchObject({ id: 'film' });
  });
});

describe('a bridge check that the light sensor answers', () => {
  const begun = () => at(only('lamp'), withLight).happen(make, idleAt(1.8));

  test('passes on a change in time, with its delay', () => {
    const bench = begun().give(light(1_230_000), closure(0.01), clock(1_410_000));
    expect(last(bench)).toMatchObject({ outcome: 'pass', by: 'light', answer: 'yes', delayUs: 130_000 });
    isBorneOut(bench);
  });

  test('waits for the whole time before it says no', () => {
    const bench = begun().give(closure(0.01), clock(2_000_000));
    expect(bench.state.run?.stage).toBe('asking');
    bench.give(clock(2_200_000));
    expect(last(bench)).toMatchObject({ outcome: 'fail', by: 'light', answer: 'no', delayUs: null });
    isBorneOut(bench);
  });

  test('is not sure when something of the probe did not arrive', () => {
    const gap: JobSessionEvent = {
      type: 'gap',
      gap: { kind: 'gap', cause: 'sequence', missing: 1, fromUs: 1, toUs: 2, text: 'a frame is missing' },
    };
    const bench = begun().give(closure(0.01), gap, clock(2_200_000));
    expect(last(bench)).toMatchObject({ outcome: 'borderline', by: 'light', answer: 'unsure' });
    isBorneOut(bench);
    const seen = begun().give(gap, light(1_230_000), closure(0.01), clock(1_410_000));
    expect(last(seen)).toMatchObject({ outcome: 'pass', answer: 'yes' });
  });

  test('says nothing when the light changed under the tips before the closure', () => {
    const bench = begun().give(light(1_060_000), light(1_230_000), closure(0.01), clock(1_410_000));
    expect(last(bench)).toMatchObject({ outcome: 'borderline', respondedBefore: true });
    expect(bench.state.job.checks.lamp?.attempts[0]?.evidence).toMatchObject({ answer: 'unsure' });
    isBorneOut(bench);
  });

  test('does not take light from before the touch for a response', () => {
    const bench = at(only('lamp'), withLight).give(light(900_000)).happen(make, idleAt(1.8));
    bench.give(light(1_230_000), closure(0.01), clock(1_410_000));
    expect(last(bench)).toMatchObject({ outcome: 'pass', respondedBefore: false });
  });

  test('is asked of a person where the probe has no sensor', () => {
    const bench = at(only('lamp')).happen(make, idleAt(1.8)).give(light(1_230_000), closure(0.01), clock(1_410_000));
    expect(bench.state.run?.prompt?.act).toBe('answer');
    bench.answer('yes');
    expect(last(bench)).toMatchObject({ outcome: 'pass', by: 'person', light: [], delayUs: null });
  });
});

describe('a film check', () => {
  const levels = (bench: DryBench) =>
    bench.effects.flatMap((effect) => (effect.do === 'mode' && effect.set.input === 'tips' ? [effect.set.level] : []));

  test('reads one touch dry first, then at the normal level without a lift', () => {
    const bench = at(only('film')).happen(make, captured(dryWindow(0.4)));
    expect(levels(bench).slice(-2)).toEqual(['dry', 'normal']);
    expect(bench.kinds()).not.toContain('levels');
    bench.happen(make, captured(windowAt(0.4)));
    expect(last(bench)).toMatchObject({ kind: 'levels', attempt: 1 });
    expect(bench.state.run?.prompt?.act).toBe('lift');
    isBorneOut(bench);
  });

  test('fails on a film', () => {
    const bench = at(only('film')).happen(make, captured(dryWindow(30)), make, captured(windowAt(0.4)));
    expect(last(bench)).toMatchObject({ outcome: 'fail' });
    expect(bench.state.job.checks.film?.attempts[0]?.evidence).toMatchObject({ kind: 'dry-normal' });
    isBorneOut(bench);
  });

  test('is unsteady, and begins with the dry level again, when the tips lift between the levels', () => {
    const bench = at(only('film')).happen(make, captured(dryWindow(0.4)), make, lift);
    expect(last(bench)).toMatchObject({ outcome: 'unsteady', normal: null });
    expect(levels(bench).at(-1)).toBe('dry');
    expect(bench.state.run?.prompt?.act).toBe('touch');
    isBorneOut(bench);
  });

  test('loses its pass when the touch drops out while it is held', () => {
    const bench = at(only('film')).happen(make, captured(dryWindow(2)), make, captured(windowAt(0.9)));
    const { window } = captured(windowAt(0.9)) as Extract<ContactEvent, { kind: 'captured' }>;
    const outcome = bench.state.job.checks.film?.outcome;
    bench.happen({ kind: 'unsteady', tUs: 1_200_000, window, contact, why: 'dropped out once while held' });
    expect(outcome).not.toBe('unsteady');
    expect(bench.state.job.checks.film?.outcome).toBe('unsteady');
    isBorneOut(bench);
  });

  test('notices a lift that came while the level was being changed', () => {
    const bench = at(only('film'))
      .happen(make, captured(dryWindow(0.4)))
      .give(clock(100_000));
    expect(bench.kinds()).not.toContain('levels');
    bench.give(clock(900_000));
    expect(last(bench)).toMatchObject({ outcome: 'unsteady', normal: null });
    expect(bench.state.run?.prompt?.act).toBe('touch');
  });
});

describe('a probe that can not do it', () => {
  test.each([
    ['press', probeThat('dryLevel')],
    ['film', probeThat('bridge')],
  ])('has the check %s skipped, with the reason on record', (check, probe) => {
    const bench = at(only(check), probe);
    expect(bench.state.job.checks[check]).toMatchObject({ outcome: null, skipped: { by: 'option' } });
    expect(bench.state.tasks[bench.state.at]).toMatchObject({ kind: 'proof', when: 'closing' });
    expect(bench.kinds()).not.toContain('power');
  });
});

describe('a probe that does not feel its tips', () => {
  const numb: JobSessionEvent = {
    ...able,
    identity: {
      ...(able as Extract<JobSessionEvent, { type: 'connected' }>).identity,
      capabilities: ['bridge', 'dryLevel'],
    },
  } as JobSessionEvent;
  const button = (window: CaptureWindow): JobSessionEvent => ({
    type: 'button',
    long: false,
    standing: { window, contact },
  });

  test('takes the idle voltage and the answer on its button', () => {
    const bench = at(only('press'), numb).give(button(voltWindow(1.8)));
    expect(bridged(bench)).toBe(1);
    bench.give(closure(0.01), button(voltWindow(1.8)));
    expect(last(bench)).toMatchObject({ outcome: 'pass', by: 'button' });
    isBorneOut(bench);
  });

  test('takes an open at both levels on its button, and waits for it', () => {
    const open = dryWindow(5e7);
    const bench = at(only('film'), numb).give(button(open), clock(9_000_000));
    expect(bench.kinds()).not.toContain('levels');
    bench.give(button(windowAt(5e7)));
    expect(last(bench)).toMatchObject({ outcome: 'fail', by: 'button' });
    isBorneOut(bench);
  });
});

describe('a hold', () => {
  function hold(heldUs: number, dropOuts: Hold['dropOuts'] = []): JobSessionEvent {
    const { codes, range } = windowAt(0.3);
    const mean = codes.reduce((sum, code) => sum + code, 0) / codes.length;
    const bucket = { tUs: 1_040_000, range, n: codes.length, min: Math.min(...codes), max: Math.max(...codes), mean };
    return { type: 'hold', hold: { fromUs: 1_030_000, heldUs, buckets: [bucket], dropOuts, brief: [] } };
  }
  const begun = () => at(only('hold')).happen(make, captured(windowAt(0.3)));

  test('begins when the touch has settled within its limits, and passes when it stayed still', () => {
    const bench = begun();
    expect(bench.state.run?.prompt).toMatchObject({ act: 'flex', check: 'hold' });
    bench.give(hold(1_500_000));
    expect(bench.state.run?.stage).toBe('holding');
    bench.give(hold(2_150_000));
    expect(last(bench)).toMatchObject({ kind: 'steady', outcome: 'pass' });
    isBorneOut(bench);
  });

  test('fails on a drop-out', () => {
    const bench = begun().give(hold(2_150_000, [{ fromUs: 1_500_000, toUs: 1_503_000 }]));
    expect(last(bench)).toMatchObject({ outcome: 'fail' });
    expect(bench.state.job.checks.hold?.attempts[0]?.evidence).toMatchObject({ kind: 'steady', unsteady: true });
    isBorneOut(bench);
  });

  test('of what is outside the limits already is not begun', () => {
    const bench = at(only('hold')).happen(make, captured(windowAt(40)));
    expect(last(bench)).toMatchObject({ outcome: 'fail', hold: null });
    isBorneOut(bench);
  });

  test('that is cut short says nothing', () => {
    const bench = begun().give(hold(1_500_000)).happen(lift);
    expect(last(bench)).toMatchObject({ outcome: 'unsteady' });
    expect(bench.state.job.checks.hold?.attempts[0]?.evidence).toBeNull();
    isBorneOut(bench);
  });

  test('of which readings are missing passes nothing, and fails on what was seen', () => {
    const gap: JobSessionEvent = {
      type: 'gap',
      gap: { kind: 'gap', cause: 'sequence', missing: 8, fromUs: 1, toUs: 2, text: 'a frame is missing' },
    };
    const still = begun().give(gap, hold(2_150_000));
    expect(last(still)).toMatchObject({ outcome: 'unsteady' });
    const open = begun().give(gap, hold(2_150_000, [{ fromUs: 1_500_000, toUs: 1_503_000 }]));
    expect(last(open)).toMatchObject({ outcome: 'fail' });
    isBorneOut(still);
  });

  test('that was long enough counts, less the openings that may be of the lift', () => {
    const bench = begun()
      .give(hold(2_050_000, [{ fromUs: 3_070_000, toUs: 3_072_000 }]))
      .happen(lift);
    expect(last(bench)).toMatchObject({ outcome: 'pass' });
    isBorneOut(bench);
  });

  test('of a touch that does not settle is watched all the same: what drops out fails, what is still is not known', () => {
    const { window } = captured(windowAt(0.3)) as Extract<ContactEvent, { kind: 'captured' }>;
    const instability: ContactEvent = {
      kind: 'unsteady',
      tUs: 3_000_000,
      window,
      contact,
      why: 'the value keeps jumping',
    };
    const open = at(only('hold'))
      .happen(make, instability)
      .give(hold(2_150_000, [{ fromUs: 1_500_000, toUs: 1_503_000 }]));
    expect(last(open)).toMatchObject({ outcome: 'fail' });
    const still = at(only('hold')).happen(make, instability).give(hold(2_150_000));
    expect(last(still)).toMatchObject({ outcome: 'unsteady' });
    isBorneOut(open);
    isBorneOut(still);
  });
});

test('the screen tells where a check of more than one step stands', () => {
  const told = ({ state }: DryBench) => [askOf(state)?.action, contactOf(state, 'closed').text];
  const press = at(only('press')).happen(make, idleAt(1.8));
  expect(told(press)).toEqual(['Hold still: bridged, idle 1.80 V. Watch it.', 'bridge closed']);
  expect(told(press.give(closure(0.01)))).toEqual(['Closed: proven. Answer (button: long is no).', 'closed: proven']);
  const film = at(only('film')).happen(make, captured(dryWindow(2)));
  expect(told(film)).toEqual(['Hold still: normal level.', 'normal level']);
  const hold = at(only('hold')).happen(make, captured(windowAt(0.3)));
  expect(told(hold)).toEqual(['Keep the tips on; flex and tap. No drop-out.', 'hold 0.0 s']);
});

const anyEvent: fc.Arbitrary<JobSessionEvent> = fc.oneof(
  fc.constant<JobSessionEvent>(withLight),
  fc
    .constantFrom(
      make,
      lift,
      idleAt(1.8),
      idleAt(0.1),
      captured(dryWindow(2)),
      captured(windowAt(0.3)),
      captured(windowAt(100)),
    )
    .map((contactEvent): JobSessionEvent => ({ type: 'contact', contact: contactEvent })),
  fc.constantFrom(closure(0.01), closure(1.79), closure(0.01, { openedBy: 'heartbeat' })),
  fc.integer({ min: 0, max: 5_000_000 }).map(light),
  fc.integer({ min: 0, max: 5_000_000 }).map(clock),
  fc.boolean().map((long): JobSessionEvent => ({ type: 'button', long, standing: null })),
  fc.record({
    type: fc.constant('answer' as const),
    prompt: fc.integer({ min: 1, max: 20 }).map((n) => `p${n}`),
    answer: fc.constantFrom('yes' as const, 'no' as const, 'unsure' as const),
    by: fc.constant('person' as const),
  }),
  fc.constant<JobSessionEvent>({ type: 'bridge-refused', status: 'busy' }),
  fc.constant<JobSessionEvent>({ type: 'skip', reason: 'x', by: 'person' }),
  fc.constant<JobSessionEvent>({ type: 'repeat', by: 'person' }),
  fc.boolean().map((on): JobSessionEvent => ({ type: 'pause', on })),
  fc.constantFrom('press', 'lamp', 'film', 'hold').map((check): JobSessionEvent => ({ type: 'jump', check })),
  fc.constant<JobSessionEvent>({ type: 'disconnected', why: 'x' }),
);

/** Readings of another mode than the one that was asked for are passed over before they reach the session. */
function fits(bench: DryBench, event: JobSessionEvent): boolean {
  if (event.type !== 'contact' || event.contact.kind !== 'captured') return true;
  const { window } = event.contact;
  const set = bench.effects.flatMap((effect) => (effect.do === 'mode' ? [effect.set] : [])).at(-1)!;
  if ((window.flagBits & flagBits.voltage) !== 0) return set.mode === 'voltage';
  return set.mode === 'resistance' && set.level === window.level;
}

test('whatever happens, no bridge passes without a proven closure, and every entry is borne out by its codes', () => {
  fc.assert(
    fc.property(fc.array(anyEvent, { maxLength: 80 }), (events) => {
      const bench = at(only('press', 'lamp', 'film', 'hold'), withLight);
      for (const event of events) if (fits(bench, event)) bench.give(event);
      for (const entry of bench.entries) {
        if (entry.kind === 'bridge' && entry.outcome === 'pass')
          expect(entry).toMatchObject({ proven: true, answer: 'yes' });
      }
      isBorneOut(bench);
    }),
    { numRuns: runs(200) },
  );
});
