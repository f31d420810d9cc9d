import type { Measured } from './benchmark.ts';
import { groundPad, padOf, resistorBoard } from './resistor-board.ts';
import { TouchRig } from './touch-rig.ts';

export const name = 'emulator-speed';
export const claim =
  'probe time against wall time while the emulated probe streams at the standard rate and is decoded';

const warmUpUs = 2_000_000;
const measuredUs = 20_000_000;
const stepUs = 10_000;

/** Returns how many times faster than life the emulator is. */
export async function measure(): Promise<Measured> {
  const rig = new TouchRig({ guide: resistorBoard([470]), seed: 11 });
  rig.touch(padOf(0), groundPad);
  const run = (us: number): number => {
    const endUs = rig.probe.nowUs + us;
    const startMs = performance.now();
    while (rig.probe.nowUs < endUs) rig.run(stepUs);
    return (performance.now() - startMs) * 1000;
  };
  run(warmUpUs);
  const before = rig.readings;
  const wallUs = run(measuredUs);
  const readings = rig.readings - before;
  return {
    figures: [{ what: 'probe time / wall time', value: measuredUs / wallUs, sense: 'at least', target: 3 }],
    work: { readings },
    numbers: { probeSeconds: measuredUs / 1e6, wallSeconds: wallUs / 1e6 },
  };
}
