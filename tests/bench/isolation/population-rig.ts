import { simulate } from '../../../sim/index.ts';
import { randomOf } from '../../../sim/random.ts';
import type { Fault, Guide } from '../../../src/guide/types.ts';
import { ProbeLink } from '../../../src/link/probe/probe-link.ts';
import type { EntryOf } from '../../../src/record/entries/entries.ts';
import type { JobState } from '../../../src/record/state/job-state.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { calibrationOf } from '../../../src/session/engine/calibration-in-force.ts';
import { isolatorOf } from '../../../src/session/job/guide-isolator.ts';
import { type JobSession, openJobSession } from '../../../src/session/job/job-session.ts';
import type { JobSettings } from '../../../src/session/job/job-session-state.ts';
import { plainBench } from '../../support/bench-settings.ts';
import { MemoryDisk } from '../../support/memory-disk.ts';

/** One device of a population, as it came to the bench. */
export interface Specimen {
  readonly guide: Guide;
  /** What the device really is, where that is not what the guide says: same pads, checks and keys. */
  readonly device?: Guide;
  readonly seed: number;
  /** Empty: nothing is wrong with it. */
  readonly faults: readonly Fault[];
}

/** What a session came to. */
export interface Sitting {
  readonly job: JobState;
  readonly concluded: EntryOf<'concluded'> | null;
  /** Checks in the order in which they were attempted, repeats included. */
  readonly attempts: readonly string[];
  /** Probe time of the session in seconds. */
  readonly probeSeconds: number;
}

/** Hands wait this long in probe time for a touch before it counts as no contact. */
const noContactAfterUs = 20_000_000;
/** A session that is not over by then has gone round in circles. */
const mostProbeSeconds = 3_600;

/** Runs a whole session on one device, through firmware, noise and hands, in virtual time and with nothing on a disk. */
export async function sit(specimen: Specimen, settings: Partial<JobSettings> = {}): Promise<Sitting> {
  const { guide, seed, faults, device = guide } = specimen;
  const simulation = simulate({ guide: device, faults, seed });
  const random = randomOf(seed, 'job ids');
  const disk = new MemoryDisk();
  const { maker, name } = guide.device;
  const record = await JobRecord.create(
    '/jobs',
    {
      tool: 'population',
      guide: {
        id: guide.id,
        title: guide.title,
        sha256: '0'.repeat(64),
        text: '',
        checks: guide.checks.map(({ id, title, kind }) => ({ id, title, kind })),
      },
      device: { maker, name, revision: guide.revisions.holds[0]! },
      revision: { holds: true },
    },
    { disk, clock: () => 0, random: (bytes) => Uint8Array.from({ length: bytes }, () => random.integer(0, 255)) },
  );
  const attempts: string[] = [];
  const session: JobSession = openJobSession({
    guide,
    record,
    settings: {
      ...plainBench,
      noContactAfterUs,
      acceptedCautions: ['all'],
      order: 'information',
      repair: 'none',
      ...settings,
    },
    isolator: isolatorOf(guide),
    probe: {
      connect: (onItem, signal) => ProbeLink.connect(() => simulation.transport, { onItem, signal, reconnect: true }),
      inForce: async (stored, serial) => calibrationOf(stored, serial, 0),
      hold: () => simulation.transport.hold(),
    },
  });
  session.states$.subscribe(({ state, event }) => {
    if (event.type === 'appended' && 'attempt' in event.entry) attempts.push(event.entry.check);
    if (state.tUs > mostProbeSeconds * 1e6) session.command({ type: 'quit' });
  });
  session.prompts$.subscribe((prompt) => simulation.hands.prompt(prompt));
  simulation.hands.onAnswer = (id, answer) => session.command({ type: 'answer', prompt: id, answer, by: 'hands' });
  try {
    const { job } = await session.run(new AbortController().signal);
    return { job, concluded: job.concluded, attempts, probeSeconds: simulation.probe.nowUs / 1e6 };
  } finally {
    await record.close();
  }
}
