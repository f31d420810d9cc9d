// A bench in a time of its own, without a probe: for what hands and devices do, not for what is measured.
import { TestBench } from '../../../sim/bench.ts';
import { Device } from '../../../sim/device/device.ts';
import type { DisplayOptions } from '../../../sim/device/display.ts';
import { Agenda } from '../../../sim/machine/agenda.ts';
import type { Fault, Guide } from '../../../src/guide/types.ts';

export function freeBench(guide: Guide, faults: Fault[] = [], seed = 1, display: DisplayOptions = {}) {
  const agenda = new Agenda();
  const clock = {
    nowUs: 0,
    at: (tUs: number, run: () => void) => agenda.put(tUs, run),
    changes: 0,
    changed() {
      this.changes++;
    },
  };
  const device = new Device({ guide, faults, seed, display });
  const bench = new TestBench(device);
  bench.connect(clock);
  const runTo = (tUs: number): void => {
    while (agenda.nextAt <= tUs) {
      clock.nowUs = Math.max(clock.nowUs, agenda.nextAt);
      agenda.runDue(clock.nowUs);
    }
    clock.nowUs = tUs;
  };
  return { clock, device, bench, runTo };
}
