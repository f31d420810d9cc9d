// The interlocks as a state machine: every mode against every event, and invariants over random sequences.
// Expected behaviour: firmware-protocol/protocol.md, section 6.
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { missingBuildTool, runCore } from './host-core.ts';

// codes: tip voltage N = 8192 + 409.6 per volt (sum of 16), 512 + 25.6 per volt (one conversion)
const tipSum = (volt: number) => Math.round(8192 + 409.6 * volt);
const tipOne = (volt: number) => Math.round(512 + 25.6 * volt);
const open = 13435;

const MODE = { off: 0, resistance: 1, voltage: 2 };
const STATUS = ['ok', '1', '2', 'badValue', 'live', 'overVoltage', 'wrongMode', 'busy'] as const;
const HAPPENED = ['excitationOff', 'liveOn', 'liveOff', 'bridgeOpened', 'bridgeClosed'];

interface State {
  status: string;
  happened: string[];
  reason: number;
  mode: string;
  range: number;
  excitation: boolean;
  bridge: boolean;
  live: boolean;
}

function parse(line: string): State {
  const n = line.split(' ').map(Number);
  return {
    status: STATUS[n[0]!]!,
    happened: HAPPENED.filter((_, bit) => n[1]! & (1 << bit)),
    reason: n[2]!,
    mode: Object.keys(MODE)[n[3]!]!,
    range: n[6]!,
    excitation: n[7] === 1,
    bridge: n[8] === 1,
    live: n[9] === 1,
  };
}
/** Returns the state after each of the commands, from a reset. */
const play = (commands: string[]) =>
  runCore(['interlock begin', ...commands.map((c) => `interlock ${c}`)])
    .slice(1)
    .map(parse);
const last = (commands: string[]) => play(commands).at(-1)!;

const quietTips = `reading ${tipSum(0)} ${tipOne(0)} 0`;
const quietOpen = `reading ${open} ${tipOne(0.2)} 0`;
const resistance = 'mode 1 0 255 0';
const starts: Record<string, string[]> = {
  off: [quietTips],
  resistance: [quietTips, resistance, quietOpen],
  voltage: [quietTips, 'mode 2 0 255 0', quietTips],
  bridged: [quietTips, 'mode 2 0 255 0', quietTips, 'bridge 500'],
};

// event -> for each start: [status, what happened, mode then, bridge then]
type Row = [status: string, happened: string, mode: string, bridge: boolean];
const table: Record<string, Record<keyof typeof starts, Row>> = {
  'mode 0 0 255 0': {
    off: ['ok', '', 'off', false],
    resistance: ['ok', 'excitationOff', 'off', false],
    voltage: ['ok', '', 'off', false],
    bridged: ['ok', 'bridgeOpened', 'off', false],
  },
  'mode 1 0 255 0': {
    off: ['ok', '', 'resistance', false],
    resistance: ['ok', '', 'resistance', false],
    voltage: ['ok', '', 'resistance', false],
    bridged: ['busy', '', 'voltage', true],
  },
  'mode 2 0 255 0': {
    off: ['ok', '', 'voltage', false],
    resistance: ['ok', 'excitationOff', 'voltage', false],
    voltage: ['ok', '', 'voltage', false],
    bridged: ['ok', '', 'voltage', true],
  },
  'bridge 100': {
    off: ['wrongMode', '', 'off', false],
    resistance: ['wrongMode', '', 'resistance', false],
    voltage: ['ok', 'bridgeClosed', 'voltage', true],
    bridged: ['busy', '', 'voltage', true],
  },
  'bridge 0': {
    off: ['ok', '', 'off', false],
    resistance: ['ok', '', 'resistance', false],
    voltage: ['ok', '', 'voltage', false],
    bridged: ['ok', 'bridgeOpened', 'voltage', false],
  },
  'bridge 2001': {
    off: ['badValue', '', 'off', false],
    resistance: ['badValue', '', 'resistance', false],
    voltage: ['badValue', '', 'voltage', false],
    bridged: ['badValue', '', 'voltage', true],
  },
  // +3 V on the tips: the sense channel saturates where it measures
  [`reading ${tipSum(3)} ${tipOne(3)} 0`]: {
    off: ['ok', 'liveOn', 'off', false],
    resistance: ['ok', 'excitationOff liveOn', 'voltage', false],
    voltage: ['ok', 'liveOn', 'voltage', false],
    bridged: ['ok', 'liveOn', 'voltage', true],
  },
  [`reading ${tipSum(-1)} ${tipOne(-1)} 0`]: {
    off: ['ok', 'liveOn', 'off', false],
    resistance: ['ok', 'excitationOff liveOn', 'voltage', false],
    voltage: ['ok', 'liveOn', 'voltage', false],
    bridged: ['ok', 'liveOn', 'voltage', true],
  },
  [`reading ${tipSum(6.5)} ${tipOne(6.5)} 0`]: {
    off: ['ok', 'liveOn', 'off', false],
    resistance: ['ok', 'excitationOff liveOn', 'voltage', false],
    voltage: ['ok', 'liveOn', 'voltage', false],
    bridged: ['ok', 'liveOn bridgeOpened', 'voltage', false],
  },
  [quietTips]: {
    off: ['ok', '', 'off', false],
    resistance: ['ok', '', 'resistance', false],
    voltage: ['ok', '', 'voltage', false],
    bridged: ['ok', '', 'voltage', true],
  },
  timeUp: {
    off: ['ok', '', 'off', false],
    resistance: ['ok', '', 'resistance', false],
    voltage: ['ok', '', 'voltage', false],
    bridged: ['ok', 'bridgeOpened', 'voltage', false],
  },
  'silence 499': {
    off: ['ok', '', 'off', false],
    resistance: ['ok', '', 'resistance', false],
    voltage: ['ok', '', 'voltage', false],
    bridged: ['ok', '', 'voltage', true],
  },
  'silence 500': {
    off: ['ok', '', 'off', false],
    resistance: ['ok', '', 'resistance', false],
    voltage: ['ok', '', 'voltage', false],
    bridged: ['ok', 'bridgeOpened', 'voltage', false],
  },
  'silence 3000': {
    off: ['ok', '', 'off', false],
    resistance: ['ok', 'excitationOff', 'off', false],
    voltage: ['ok', '', 'voltage', false],
    bridged: ['ok', 'bridgeOpened', 'voltage', false],
  },
};

describe.skipIf(missingBuildTool('cc'))('interlocks', () => {
  describe.each(Object.keys(table))('on %s', (event) => {
    test.each(Object.keys(starts))('from %s', (start) => {
      const [status, happened, mode, bridge] = table[event]![start]!;
      const after = last([...starts[start]!, event]);
      expect(after).toMatchObject({ status, mode, bridge, excitation: mode === 'resistance' });
      expect([...after.happened].sort()).toEqual(happened.split(' ').filter(Boolean).sort());
    });
  });

  test('after a reset everything is off, and excitation waits for a first look at the tips', () => {
    expect(last(['bridge 0'])).toMatchObject({ mode: 'off', excitation: false, bridge: false });
    expect(last([resistance])).toMatchObject({ status: 'live', excitation: false });
    expect(last([quietTips, resistance])).toMatchObject({ status: 'ok', excitation: true });
  });

  test.each([
    [0.05, 'ok'],
    [-0.05, 'ok'],
    [0.07, 'live'],
    [-0.07, 'live'],
    [3, 'live'],
    [-20, 'live'],
  ])('%d V before excitation: %s (limit 60 mV)', (volt, status) => {
    expect(last([`reading ${tipSum(volt)} 0 0`, resistance]).status).toBe(status);
  });

  test.each([
    [5.9, 'ok'],
    [-5.9, 'ok'],
    [6.1, 'overVoltage'],
    [-6.1, 'overVoltage'],
  ])('a bridge over %d V: %s (limit 6 V)', (volt, status) => {
    expect(last([quietTips, 'mode 2 0 255 0', `reading ${tipSum(volt)} 0 0`, 'bridge 10']).status).toBe(status);
  });

  test.each([
    ['0.65 V on the tip channel, one conversion', `reading ${open} ${tipOne(0.65)} 0`, true],
    ['-0.8 V on the tip channel, one conversion, across a change', `reading ${open} ${tipOne(-0.8)} 1`, true],
    ['our own 0.2 V with noise of 4 codes', `reading ${open} ${tipOne(0.2) + 4} 0`, false],
    ['a sense sum of a reversed voltage', `reading 60 ${tipOne(0)} 0`, true],
    ['the live zero', `reading 328 ${tipOne(0)} 0`, false],
    ['a sense sum above the open level by a fifth', `reading 16100 ${tipOne(0.2)} 0`, true],
    ['the same across a change: not judged', `reading 16100 ${tipOne(0.2)} 1`, false],
  ])('excitation against %s', (_, reading, trips) => {
    const after = last([quietTips, 'mode 1 0 1 0', quietOpen, reading]);
    expect(after.excitation).toBe(!trips);
    expect(after.live).toBe(trips);
    if (trips) expect(after).toMatchObject({ mode: 'voltage', happened: ['excitationOff', 'liveOn'], reason: 2 });
  });

  test('0.35 V for two conversions in a row trips, for one does not', () => {
    const states = play([quietTips, resistance, quietOpen, `reading ${open} 521 0`, `reading ${open} 521 0`]);
    expect(states.map((s) => s.excitation)).toEqual([false, true, true, true, false]);
  });

  test('range 0 saturates on an open: no reason to trip', () => {
    expect(last([quietTips, 'mode 1 0 0 0', `reading 16368 ${tipOne(0.2)} 0`])).toMatchObject({
      excitation: true,
      range: 0,
    });
  });

  test('after a trip the excitation stays off until a request, and that is refused while the voltage stands', () => {
    const live = `reading ${tipSum(3)} ${tipOne(3)} 0`;
    const states = play([quietTips, resistance, live, live, resistance, quietTips, quietTips, resistance]);
    expect(states.map((s) => s.excitation)).toEqual([false, true, false, false, false, false, false, true]);
    expect(states[4]!.status).toBe('live');
    expect(states[5]!.happened).toEqual(['liveOff']);
  });

  test('from the check resistor back to live tips: refused, though the excitation is on', () => {
    const check = ['mode 1 0 255 2', ...Array.from({ length: 40 }, () => `reading 1519 ${tipOne(0.28)} 0`)];
    expect(last([quietTips, ...check, resistance])).toMatchObject({ status: 'live', excitation: true });
  });

  test.each(['mode 3 0 255 0', 'mode 1 2 255 0', 'mode 1 0 5 0', 'mode 1 1 0 0', 'mode 1 0 255 4'])(
    '%s is refused and changes nothing',
    (bad) => {
      const [, before, after] = play([quietTips, resistance, bad]);
      expect(after).toEqual({ ...before!, status: 'badValue' });
    },
  );

  test('no sequence of events puts excitation and bridge on together, or excitation on without an ok request', () => {
    const tips = fc.constantFrom(-7, -1, -0.3, -0.05, 0, 0.05, 0.2, 0.3, 1, 5, 7);
    const event = fc.oneof(
      fc.tuple(fc.nat(3), fc.nat(2), fc.constantFrom(0, 1, 4, 5, 255), fc.nat(4)).map((m) => `mode ${m.join(' ')}`),
      fc.constantFrom(quietTips, quietOpen),
      fc.constantFrom('mode 1 0 255 0', 'mode 2 0 255 0', 'bridge 0', 'bridge 100', 'bridge 2001', 'timeUp'),
      tips.map((v) => `reading ${tipSum(v)} ${tipOne(v)} 0`),
      fc.tuple(fc.nat(16368), tips, fc.nat(1)).map(([sum, v, b]) => `reading ${sum} ${tipOne(v)} ${b}`),
      fc.nat(4000).map((ms) => `silence ${ms}`),
    );
    let excitedSomewhere = 0;
    let bridgedSomewhere = 0;
    for (const events of fc.sample(fc.array(event, { minLength: 30, maxLength: 80 }), {
      numRuns: 150,
      seed: 22,
    })) {
      let before: State | null = null;
      const states = play([quietTips, ...events]).slice(1);
      for (const [i, after] of states.entries()) {
        const what = events[i]!;
        expect(after.excitation && after.bridge).toBe(false);
        expect(after.excitation).toBe(after.mode === 'resistance');
        if (after.bridge) expect(after.mode).toBe('voltage');
        if (after.excitation && before && !before.excitation)
          expect([what.slice(0, 6), after.status]).toEqual(['mode 1', 'ok']);
        if (after.bridge && before && !before.bridge) expect([what, after.status]).toEqual(['bridge 100', 'ok']);
        if (/ (-7|7)$/.test(what)) expect(after.excitation).toBe(false);
        if (after.status !== 'ok' && before)
          expect({ ...after, status: 'ok', happened: [], reason: 0 }).toEqual({
            ...before,
            status: 'ok',
            happened: [],
            reason: 0,
          });
        if (after.excitation) excitedSomewhere++;
        if (after.bridge) bridgedSomewhere++;
        before = after;
      }
    }
    expect(excitedSomewhere).toBeGreaterThan(100);
    expect(bridgedSomewhere).toBeGreaterThan(100);
  });
});
