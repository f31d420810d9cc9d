import { createHash } from 'node:crypto';
import { join } from 'node:path';
import {
  FaultyWire,
  type Simulation,
  type SimulationOptions,
  simulate,
  type WireCounters,
  type WireFaultRates,
} from '../../sim/index.ts';
import { openingOf } from '../../src/cli/job/open-job.ts';
import { parseFault } from '../../src/guide/circuit/faults.ts';
import type { Guide } from '../../src/guide/types.ts';
import { ProbeLink } from '../../src/link/probe/probe-link.ts';
import type { Entry, EntryKind, EntryOf, Opening } from '../../src/record/entries/entries.ts';
import { readRecord } from '../../src/record/store/read-record.ts';
import { JobRecord } from '../../src/record/store/record.ts';
import { calibrationOf } from '../../src/session/engine/calibration-in-force.ts';
import { isolatorOf } from '../../src/session/job/guide-isolator.ts';
import { type JobSession, openJobSession } from '../../src/session/job/job-session.ts';
import type { JobSessionEvent, JobSessionState, JobSettings } from '../../src/session/job/job-session-state.ts';
import { type VerifyReport, verifyRecord } from '../../src/verify/verify.ts';
import { plainBench } from './bench-settings.ts';
import { scratch } from './scratch.ts';

/** A job on the emulated probe in virtual time, with hands that do as they are told. */
export interface VirtualJob extends Omit<SimulationOptions, 'guide' | 'faults'> {
  guide: { guide: Guide; text: string };
  faults?: string[];
  settings?: Partial<JobSettings>;
  /** Suspects are told apart, and a conclusion is drawn. */
  isolates?: boolean;
  /** How bad the wire is; clean if not given. */
  rates?: WireFaultRates;
  /** Called before the session begins, with the bench. */
  prepare?: (simulation: Simulation) => void;
  /** Sees every state and the event that made it. */
  onState?: (
    state: JobSessionState,
    event: JobSessionEvent,
    bench: { simulation: Simulation; session: JobSession },
  ) => void;
}

/** What a job came to. */
export interface VirtualOutcome {
  state: JobSessionState;
  entries: Entry[];
  /** What `verify` says of its record. */
  report: VerifyReport;
  /** What the wire did to its bytes. */
  wire: WireCounters;
  /** Its entries of one kind. */
  of<K extends EntryKind>(kind: K): EntryOf<K>[];
}

/** Runs a job to its end. */
export async function virtualJob({
  guide: { guide, text },
  faults = [],
  settings = {},
  isolates = false,
  rates = {},
  prepare,
  onState,
  ...options
}: VirtualJob): Promise<VirtualOutcome> {
  const parsed = faults.map((fault) => {
    const one = parseFault(fault, guide);
    if (!one.ok) throw new Error(one.what);
    return one.fault;
  });
  const simulation = simulate({ slipRate: 0, ...options, guide, faults: parsed });
  const record = await JobRecord.create(scratch(), emulatedOpening(guide, text), {
    file: join(scratch(), 'virtual.owjob'),
  });
  const wire = new FaultyWire(simulation.transport, options.seed, rates);
  prepare?.(simulation);
  const session: JobSession = openJobSession({
    guide,
    record,
    settings: { ...plainBench, noContactAfterUs: 20_000_000, acceptedCautions: ['all'], ...settings },
    ...(isolates ? { isolator: isolatorOf(guide) } : {}),
    probe: {
      connect: (onItem, signal) => ProbeLink.connect(() => wire, { onItem, signal, reconnect: true }),
      inForce: async (stored, serial) => calibrationOf(stored, serial, 0),
      hold: () => simulation.transport.hold(),
    },
  });
  session.states$.subscribe(({ state, event }) => onState?.(state, event, { simulation, session }));
  session.prompts$.subscribe((prompt) => simulation.hands.prompt(prompt));
  simulation.hands.onAnswer = (id, answer) => session.command({ type: 'answer', prompt: id, answer, by: 'hands' });
  let state: JobSessionState;
  try {
    state = await session.run(new AbortController().signal);
  } finally {
    await record.close();
  }
  const { entries, bytes } = await readRecord(record.path);
  const of = <K extends EntryKind>(kind: K) => entries.filter((entry): entry is EntryOf<K> => entry.kind === kind);
  return { state, entries, report: verifyRecord(bytes), wire: wire.counters, of };
}

function emulatedOpening(guide: Guide, text: string): Opening {
  const sha256 = createHash('sha256').update(text).digest('hex');
  return { ...openingOf(guide, { text, sha256 }, { revision: 'A' }), emulated: true };
}
