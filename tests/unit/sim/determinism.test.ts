import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { EmulatedProbe } from '../../../sim/probe/emulated-probe.ts';
import { randomOf } from '../../../sim/random.ts';
import { simulate } from '../../../sim/simulation.ts';
import { encodeRequest, type Request } from '../../../src/protocol/messages.ts';
import { SetWorld } from '../../support/worlds.ts';
import { recorderGuide } from './guides.ts';

const requests: { atUs: number; request: Request }[] = [
  { atUs: 150_000, request: { type: 'hello', hostMajor: 1, hostMinor: 0 } },
  { atUs: 160_000, request: { type: 'start', rate: 'standard', batch: 8 } },
  { atUs: 170_000, request: { type: 'mode', mode: 'resistance', level: 'normal', range: 'auto', input: 'tips' } },
  { atUs: 900_000, request: { type: 'keepAlive' } },
];

/** Runs a whole bench (hands on a faulty contact included) in slices that `slice` gives, and digests every byte with its time. */
function digest(seed: number, slice: () => number): string {
  const { probe, hands } = simulate({
    guide: recorderGuide(),
    faults: [{ link: 'contact-a', mode: 'intermittent' }],
    seed,
  });
  const hash = createHash('sha256');
  probe.onByte = (byte, tUs) => hash.update(`${tUs} ${byte};`);
  hands.perform([{ do: 'touch', pads: ['K1', 'S1'] }, { do: 'wait', us: 300_000 }, { do: 'lift' }]);
  const runTo = (tUs: number): void => {
    while (probe.nowUs < tUs) probe.runUntilUs(Math.min(tUs, probe.nowUs + slice()));
  };
  for (const [index, { atUs, request }] of requests.entries()) {
    runTo(atUs);
    probe.write(encodeRequest(request, index));
  }
  runTo(1_500_000);
  return hash.digest('hex');
}

describe('same seed', () => {
  test('the same bytes at the same times, however the run is cut', () => {
    const whole = digest(11, () => 1e9);
    expect(digest(11, () => 2_000)).toBe(whole);
    const random = randomOf(1, 'slices');
    expect(digest(11, () => 1 + random.uniform() * 7_000)).toBe(whole);
  });

  test('another seed, other bytes', () => {
    expect(digest(12, () => 2_000)).not.toBe(digest(11, () => 2_000));
  });
});

test("readings come at the pace of the converter: 17 conversions of 13 clocks at the table's prescaler", () => {
  // ATmega328P data sheet, 'ADC conversion time': 13 ADC clocks a conversion in free running
  const probe = new EmulatedProbe({ seed: 1, world: new SetWorld() });
  let conversions = 0;
  const { frontEnd } = probe;
  const convert = frontEnd.convert.bind(frontEnd);
  frontEnd.convert = (...args) => {
    conversions++;
    return convert(...args);
  };
  probe.runUntilUs(200_000);
  const before = conversions;
  probe.runUntilUs(1_200_000);
  // 16 MHz / 64 / 13
  expect(Math.abs(conversions - before - 19_230.8)).toBeLessThan(2);
});
