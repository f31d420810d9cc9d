import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { TestBench } from '../../sim/bench.ts';
import { Device } from '../../sim/device/device.ts';
import { Hands } from '../../sim/hands/hands.ts';
import { EmulatedProbe } from '../../sim/probe/emulated-probe.ts';
import { servePty } from '../../sim/wire/serve-pty.ts';
import { rateTable } from '../../src/protocol/table.ts';
import type { Measured } from './benchmark.ts';
import { groundPad, padOf, resistorBoard } from './resistor-board.ts';
import type { StreamCost } from './stream-child.ts';

export const name = 'host-cpu';
export const claim =
  'processor time of a host that streams at the standard rate from a pseudo-terminal through the real serialport, less that of an idle node process, as a share of one core';

/** A tenth of a core: streaming shall be no load on the oldest bench machine. The figure is our choice. */
const target = 0.1;
const warmUpMs = 2_000;
const measuredMs = 8_000;
const child = fileURLToPath(new URL('stream-child.ts', import.meta.url));
const run = promisify(execFile);

/** A node process that waits, and prints what that cost. */
const idle = `setTimeout(() => {
  const before = process.cpuUsage();
  setTimeout(() => {
    const { user, system } = process.cpuUsage(before);
    process.stdout.write(String(user + system));
  }, ${measuredMs});
}, ${warmUpMs});`;

/** Has hands touch, hold and lift for as long as the benchmark runs: streams of both kinds, and captures. */
function keepTouching(hands: Hands): void {
  const again = (): void =>
    hands.perform(
      [
        { do: 'touch', pads: [padOf(0), groundPad] },
        { do: 'wait', us: 300_000 },
        { do: 'lift' },
        { do: 'wait', us: 300_000 },
      ],
      () => queueMicrotask(again),
    );
  again();
}

/** Returns the share of a core; the emulator runs in this process, the host in its own. */
export async function measure(): Promise<Measured> {
  const seed = 41;
  const bench = new TestBench(new Device({ guide: resistorBoard([47]), faults: [], seed }));
  const probe = new EmulatedProbe({ seed, world: bench, serial: seed });
  const served = await servePty({ probe });
  try {
    keepTouching(new Hands({ bench, seed, button: (down) => probe.button(down) }));
    const [streamed, waited] = await Promise.all([
      run(process.execPath, [child, served.path, String(warmUpMs), String(measuredMs)]),
      run(process.execPath, ['-e', idle]),
    ]);
    const cost = JSON.parse(streamed.stdout) as StreamCost;
    const { droppedBytes, timeSlips } = served.counters();
    // changes of range drop some readings, and on a busy machine the probe's time slips
    const fewest = (0.5 * cost.wallUs) / rateTable.standard.periodUs;
    if (cost.readings < fewest || cost.captures === 0)
      throw new Error(`streaming did not go on: ${cost.readings} readings, ${cost.captures} captures`);
    return {
      figures: [
        {
          what: 'processor time above idle / one core',
          value: (cost.cpuUs - Number(waited.stdout)) / cost.wallUs,
          sense: 'at most',
          target,
        },
      ],
      work: { readings: cost.readings, captures: cost.captures },
      numbers: {
        streamingCpuMs: cost.cpuUs / 1000,
        idleCpuMs: Number(waited.stdout) / 1000,
        wallMs: cost.wallUs / 1000,
        gaps: cost.gaps,
        droppedBytes,
        timeSlips,
      },
    };
  } finally {
    await served.close();
  }
}
