import { join } from 'node:path';
import { FaultyWire, type Simulation, simulate, type WireCounters, type WireFaultRates } from '../../sim/index.ts';
import { checkKinds } from '../../src/checks/registry.ts';
import { openingOf } from '../../src/cli/job/open-job.ts';
import { parseFault } from '../../src/guide/circuit/faults.ts';
import { loadGuide } from '../../src/guide/file/load.ts';
import { ProbeLink } from '../../src/link/probe/probe-link.ts';
import type { Entry } from '../../src/record/entries/entries.ts';
import { readRecord } from '../../src/record/store/read-record.ts';
import { JobRecord } from '../../src/record/store/record.ts';
import { calibrationOf } from '../../src/session/engine/calibration-in-force.ts';
import { type JobSession, openJobSession } from '../../src/session/job/job-session.ts';
import type { JobSessionState } from '../../src/session/job/job-session-state.ts';
import { type VerifyReport, verifyRecord } from '../../src/verify/verify.ts';
import { plainBench } from '../support/bench-settings.ts';
import { scratch, shortGuide } from '../support/scratch.ts';

/** A job on the emulated probe behind a wire that may be bad. */
export interface WiredJob {
  seed: number;
  faults?: string[];
  rates?: WireFaultRates;
  /** Called before the session begins, with the bench. */
  prepare?: (simulation: Simulation) => void;
  /** Sees every state of the session. */
  onState?: (state: JobSessionState, simulation: Simulation) => void;
}

/** What it came to. */
export interface WiredOutcome {
  state: JobSessionState;
  entries: Entry[];
  report: VerifyReport;
  wire: WireCounters;
  /** Outcome of every attempt at a check, as `check outcome`. */
  attempts: string[];
  /** What stands of every check, in the guide's order. */
  verdicts: Record<string, string | null>;
}

/** Hands wait this long in probe time for a touch before it counts as no contact. */
const noContactAfterUs = 20_000_000;

/** Runs a job of the short guide to its end, in virtual time, with hands that do as they are told. */
export async function wiredJob({ seed, faults = [], rates = {}, prepare, onState }: WiredJob): Promise<WiredOutcome> {
  const { guide, text, sha256 } = await loadGuide(shortGuide, checkKinds);
  const parsed = faults.map((fault) => {
    const one = parseFault(fault, guide);
    if (!one.ok) throw new Error(one.what);
    return one.fault;
  });
  const simulation = simulate({ guide, faults: parsed, seed, slipRate: 0 });
  const wire = new FaultyWire(simulation.transport, seed, rates);
  const record = await JobRecord.create(
    scratch(),
    { ...openingOf(guide, { text, sha256 }, { revision: 'A' }), emulated: true },
    {
      file: join(scratch(), 'wired.owjob'),
    },
  );
  prepare?.(simulation);
  const session: JobSession = openJobSession({
    guide,
    record,
    settings: { ...plainBench, noContactAfterUs, acceptedCautions: ['all'] },
    probe: {
      connect: (onItem, signal) => ProbeLink.connect(() => wire, { onItem, signal, reconnect: true }),
      inForce: async (stored, serial) => calibrationOf(stored, serial, Date.now()),
      hold: () => simulation.transport.hold(),
    },
  });
  session.states$.subscribe(({ state }) => onState?.(state, simulation));
  session.prompts$.subscribe((prompt) => simulation.hands.prompt(prompt));
  simulation.hands.onAnswer = (id, answer) => session.command({ type: 'answer', prompt: id, answer, by: 'hands' });
  let state: JobSessionState;
  try {
    state = await session.run(new AbortController().signal);
  } finally {
    await record.close();
  }
  const { entries, bytes } = await readRecord(record.path);
  return {
    state,
    entries,
    report: verifyRecord(bytes),
    wire: wire.counters,
    attempts: entries.flatMap((entry) =>
      entry.kind === 'capture' || entry.kind === 'observation' ? [`${entry.check} ${entry.outcome}`] : [],
    ),
    verdicts: Object.fromEntries(Object.values(state.job.checks).map(({ id, outcome }) => [id, outcome])),
  };
}
