// The emulated probe on a pseudo-terminal, the built program on another, and hands that do what the screen says, as a person would.
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Move, type ServedPty, type Simulation, servePty, simulate } from '../../sim/index.ts';
import { checkKinds } from '../../src/checks/registry.ts';
import { parseFault } from '../../src/guide/circuit/faults.ts';
import { loadGuide } from '../../src/guide/file/load.ts';
import { type ReadResult, readRecord } from '../../src/record/store/read-record.ts';
import { scratch } from '../support/scratch.ts';
import { reads } from './large-words.ts';
import { type SeenOptions, SeenTerminal } from './screen-terminal.ts';

export const lampGuide = fileURLToPath(new URL('fixtures/pocket-lamp.yaml', import.meta.url));
/** All that a job can be opened with, so that nothing is asked. */
export const wholeIntake = ['--revision', 'A', '--ticket', 'T-17', '--symptom', 'dark', '--serial', 'QG-3'];

export class ScreenBench {
  readonly folder: string;
  readonly jobs: string;
  readonly port: string;
  readonly simulation: Simulation;
  readonly served: ServedPty;
  readonly #seen: SeenTerminal[] = [];

  private constructor(simulation: Simulation, served: ServedPty, folder: string) {
    this.simulation = simulation;
    this.served = served;
    this.folder = folder;
    this.jobs = join(folder, 'jobs');
    this.port = served.path;
  }

  /** Returns a bench for the lamp, with faults as on the command line. */
  static async open(faults: string[] = []): Promise<ScreenBench> {
    const { guide } = await loadGuide(lampGuide, checkKinds);
    const parsed = faults.map((text) => {
      const fault = parseFault(text, guide);
      if (!fault.ok) throw new Error(fault.what);
      return fault.fault;
    });
    const folder = scratch();
    const simulation = simulate({ guide, faults: parsed, seed: 5, slipRate: 0, pace: 0.5 });
    const served = await servePty({ probe: simulation.probe, stablePath: join(folder, 'probe') });
    return new ScreenBench(simulation, served, folder);
  }

  start(more: string[] = [], options: SeenOptions = {}): SeenTerminal {
    return this.watch(SeenTerminal.program(this.startArgs(more), options));
  }

  startArgs(more: string[] = []): string[] {
    return [
      'start',
      lampGuide,
      '--order',
      'guide',
      '--repair',
      'none',
      '--port',
      this.port,
      '--jobs',
      this.jobs,
      '--accept-cautions',
      'all',
      ...wholeIntake,
      ...more,
    ];
  }

  resume(job: string, options: SeenOptions = {}): SeenTerminal {
    return this.watch(
      SeenTerminal.program(
        ['resume', job, '--order', 'guide', '--repair', 'none', '--port', this.port, '--jobs', this.jobs],
        options,
      ),
    );
  }

  /** Sees to it that the program is ended with the bench. */
  watch(seen: SeenTerminal): SeenTerminal {
    this.#seen.push(seen);
    return seen;
  }

  /** Moves the hands, and resolves when they rest. */
  move(...moves: Move[]): Promise<void> {
    return new Promise((resolve) => this.simulation.hands.perform(moves, resolve));
  }

  /** The one record in the jobs folder. */
  async record(): Promise<ReadResult> {
    const [file, ...others] = readdirSync(this.jobs).filter((name) => name.endsWith('.owjob'));
    if (file === undefined || others.length > 0)
      throw new Error(`not one record: ${readdirSync(this.jobs).join(', ')}`);
    return await readRecord(join(this.jobs, file));
  }

  async close(): Promise<void> {
    for (const seen of this.#seen) await seen.close();
    await this.served.close();
  }
}

/** Both proofs that come before and after the checks: hold the tips together, lift, wait for the check resistor. */
export async function proveProbe(bench: ScreenBench, seen: SeenTerminal): Promise<void> {
  await seen.until((text) => text.includes('Hold the two tips together'), 'the proof with the tips together');
  await bench.move({ do: 'short' });
  await seen.until((text) => reads(text, 'PASS') && text.includes('Lift the tips'), 'the proof that passed');
  await bench.move({ do: 'lift' });
}

/** Touches the pads once the screen asks for the place, waits for the outcome, and lifts. */
export async function touchWhenAsked(
  bench: ScreenBench,
  seen: SeenTerminal,
  where: string,
  pads: [string, string],
  word: string,
): Promise<string> {
  await seen.until((text) => text.includes(where) && text.includes('Touch the two pads'), `the pads at ${where}`);
  await bench.move({ do: 'touch', pads });
  const shown = await seen.until((text) => reads(text, word) && text.includes('Lift the tips') && text, word);
  await bench.move({ do: 'lift' });
  return shown;
}
