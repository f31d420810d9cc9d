import { describe, expect, test } from 'vitest';
import { Device } from '../../../sim/index.ts';
import type { Fault, Guide } from '../../../src/guide/types.ts';
import { recorderGuide } from '../faces/scenes.ts';

const guide = recorderGuide();
const film: Fault = { link: 'contact-a', mode: 'film' };
const open: Fault = { link: 'trace-a', mode: 'open' };

function always(of: Guide, success: number): Guide {
  return { ...of, repairs: of.repairs.map((repair) => ({ ...repair, success })) };
}

describe('a repair of the emulated device', () => {
  test('takes away the faults that it fixes, and no others', () => {
    const device = new Device({ guide: always(guide, 1), faults: [film, open], seed: 1 });
    expect(device.repair('clean')).toEqual([film]);
    expect(device.faults).toEqual([open]);
    const before = device.between('S1', 'J1', null).sourceOhm;
    expect(device.repair('new-jack-board')).toEqual([open]);
    const after = device.between('S1', 'J1', null).sourceOhm;
    expect(before).toBeGreaterThan(1e6);
    expect(after).toBeLessThan(10);
  });

  test('mends with its chance of success', () => {
    const mended = (success: number): number => {
      let count = 0;
      for (let seed = 1; seed <= 300; seed++) {
        count += new Device({ guide: always(guide, success), faults: [film], seed }).repair('clean').length;
      }
      return count / 300;
    };
    expect(mended(0)).toBe(0);
    // three standard deviations of a share of 300
    expect(Math.abs(mended(0.7) - 0.7)).toBeLessThan(3 * Math.sqrt((0.7 * 0.3) / 300));
  });

  test('that the guide does not know mends nothing', () => {
    const device = new Device({ guide, faults: [open], seed: 1 });
    expect(device.repair('pray')).toEqual([]);
    expect(device.faults).toEqual([open]);
  });

  test('leaves the other live faults alive', () => {
    const weak: Fault = { link: 'contact-b', mode: 'weak' };
    const device = new Device({ guide: always(guide, 1), faults: [film, weak], seed: 2 });
    device.repair('clean');
    expect(device.faults).toEqual([weak]);
  });
});
