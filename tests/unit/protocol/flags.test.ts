import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bitNames, identityOf, readingFlagBits, readingFlags } from '../../../src/protocol/flags.ts';
import { capabilityBits, flagBits } from '../../../src/protocol/table.ts';

describe('flags of readings', () => {
  test('every bit of the table is one field', () => {
    expect(readingFlags(0)).toEqual({
      input: 'tips',
      level: 'normal',
      excitation: false,
      voltage: false,
      bridge: false,
      live: false,
      seatA: false,
      seatB: false,
      auto: false,
      over: false,
    });
    expect(readingFlags(flagBits.inputHigh).input).toBe('check');
    expect(readingFlags(flagBits.inputHigh | flagBits.inputLow).input).toBe('open');
    expect(readingFlags(flagBits.dry).level).toBe('dry');
    for (const name of ['excitation', 'voltage', 'bridge', 'live', 'seatA', 'seatB', 'auto', 'over'] as const)
      expect(Object.entries(readingFlags(flagBits[name])).filter(([, on]) => on === true)).toEqual([[name, true]]);
  });

  test('bits to names and back are the same bits; bits above the table are ignored', () => {
    const known = Object.values(flagBits).reduce((sum, bit) => sum | bit, 0);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 0xffff }), (bits) => {
        expect(readingFlagBits(readingFlags(bits))).toBe(bits & known);
      }),
    );
  });
});

describe('who a probe says it is', () => {
  test('bits become names, and unknown ones keep their number', () => {
    const all = Object.values(capabilityBits).reduce((sum, bit) => sum | bit, 0);
    expect(bitNames(all, capabilityBits)).toEqual(Object.keys(capabilityBits));
    expect(bitNames(2 ** 31 + 2, capabilityBits)).toEqual(['bridge', 'bit31']);
  });

  test('an identity holds no field of the frame itself', () => {
    const identity = identityOf({
      kind: 'answer',
      request: 'hello',
      seq: 3,
      status: 'ok',
      protoMajor: 1,
      protoMinor: 2,
      fwMajor: 3,
      fwMinor: 4,
      fwBuild: 5,
      probeSerial: 6,
      capabilities: 3,
      resetCause: 9,
      bootCount: 7,
      clockUs: 8,
      maxPayload: 64,
    });
    expect(identity).toEqual({
      protoMajor: 1,
      protoMinor: 2,
      fwMajor: 3,
      fwMinor: 4,
      fwBuild: 5,
      probeSerial: 6,
      capabilities: ['dryLevel', 'bridge'],
      resetCause: ['powerOn', 'watchdog'],
      bootCount: 7,
      maxPayload: 64,
    });
  });
});
