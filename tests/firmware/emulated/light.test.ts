// The light sensor on the committed image: what it tells, and that its conversions never pass for tip voltages.
import { describe, expect, test } from 'vitest';
import { EmulatedProbe } from '../../../sim/probe/emulated-probe.ts';
import { randomOf } from '../../../sim/random.ts';
import type { Request } from '../../../src/protocol/messages.ts';
import { capabilityBits, enumTable, limitTable } from '../../../src/protocol/table.ts';
import { ProbeHost } from '../../support/probe-host.ts';
import { onResistor, onVoltage, SetWorld } from '../../support/worlds.ts';

const { lightChanged, liveOn, excitationOff } = enumTable.event;
const mode = (mode: 'resistance' | 'voltage'): Request => ({
  type: 'mode',
  mode,
  level: 'normal',
  range: 'auto',
  input: 'tips',
});

function bench(light: (tUs: number) => number | null, seed = 1) {
  const world = Object.assign(new SetWorld(), { light });
  const host = new ProbeHost(new EmulatedProbe({ seed, world, serial: 1 }));
  host.run(150_000, false);
  const hello = host.do({ type: 'hello', hostMajor: 1, hostMinor: 1 });
  host.do({ type: 'start', rate: 'standard', batch: 8 });
  const levels = (fromUs = 0) => host.events(fromUs).filter((event) => event.code === lightChanged);
  return { world, host, hello, levels };
}

describe('the light sensor', () => {
  test('is a capability when one is plugged in, in the dark too', () => {
    expect(bench(() => 0).hello.capabilities & capabilityBits.lightSensor).toBeTruthy();
    expect(bench(() => null).hello.capabilities & capabilityBits.lightSensor).toBe(0);
  });

  test('a lamp that goes on is told within two readings, once, with its level', () => {
    let lit = false;
    const { host, levels } = bench(() => (lit ? 0.5 : 0.05));
    host.do(mode('voltage'));
    host.run(300_000);
    expect(levels()).toHaveLength(1);
    lit = true;
    const fromUs = host.probe.nowUs;
    host.run(300_000);
    const [change, ...more] = levels(fromUs);
    expect(more).toEqual([]);
    expect(change!.tUs - fromUs).toBeLessThan(2 * 884 + 4);
    // 0.26 V in the dark and 4.7 V in the brightest light, of 5 V
    expect(change!.arg).toBeGreaterThan(0.95 * ((0.26 + 0.5 * 4.44) / 5) * 1024);
    expect(change!.arg).toBeLessThan(1.05 * ((0.26 + 0.5 * 4.44) / 5) * 1024);
    lit = false;
    host.run(100_000);
    expect(levels(fromUs)).toHaveLength(2);
  });

  test('flicker below the step says nothing; fast flicker above it comes 8 ms apart', () => {
    const step = limitTable.lightStepCodes / 1024;
    const flicker = (swing: number) => (tUs: number) => 0.3 + (swing / 2) * Math.sin((2 * Math.PI * tUs) / 3_000);
    const small = bench(flicker(0.6 * step));
    small.host.run(500_000);
    expect(small.levels().length).toBeLessThanOrEqual(1);
    const large = bench(flicker(10 * step));
    large.host.run(500_000);
    const at = large.levels().map((event) => event.tUs);
    const gaps = at.slice(1).map((tUs, k) => tUs - at[k]!);
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(8_000);
    expect(at.length).toBeGreaterThan(30);
  });

  test('is not looked at with the excitation on, and what changed meanwhile is told after', () => {
    let lit = false;
    const { world, host, levels } = bench(() => (lit ? 0.8 : 0.05));
    world.set(onResistor(10));
    host.do(mode('resistance'));
    const fromUs = host.probe.nowUs;
    lit = true;
    host.run(200_000);
    expect(levels(fromUs)).toEqual([]);
    host.do(mode('voltage'));
    host.run(20_000);
    expect(levels(fromUs)).toHaveLength(1);
  });

  test('the brightest light never passes for a voltage, whenever the mode changes', () => {
    const { world, host } = bench(() => 1, 7);
    world.set(onResistor(10));
    const random = randomOf(3, 'moments');
    for (let k = 0; k < 300; k++) {
      host.probe.runUntilUs(host.probe.nowUs + 1_000 * random.uniform());
      expect(host.do(mode('resistance')).status).toBe('ok');
      host.probe.runUntilUs(host.probe.nowUs + 3_000);
      expect(host.probe.controls.excitation).toBe(true);
      host.do(mode('voltage'));
    }
    const codes = host.events().map((event) => event.code);
    expect(codes).not.toContain(liveOn);
  });

  test.each([0.4, -0.4])('%d V that comes as the mode changes drops the excitation within two readings', (volt) => {
    const random = randomOf(5, 'moments');
    for (let k = 0; k < 40; k++) {
      const { world, host } = bench(() => 0.5, k);
      world.set(onResistor(10));
      let onUs: number | null = null;
      let offUs: number | null = null;
      host.probe.onControls = ({ excitation }, tUs) => {
        if (excitation && onUs === null) {
          onUs = tUs;
          world.set(onVoltage(volt, 0.5));
        }
        if (!excitation && onUs !== null) offUs ??= tUs;
      };
      host.probe.runUntilUs(host.probe.nowUs + 1_000 * random.uniform());
      host.do(mode('resistance'));
      host.probe.runUntilUs(host.probe.nowUs + 10_000);
      expect(offUs! - onUs!).toBeLessThan(2 * 884 + 10);
      expect(host.events().map((event) => event.code)).toContain(excitationOff);
    }
  });
});
