import { join } from 'node:path';
import type { Simulation } from '../../../sim/index.ts';
import { checkKinds } from '../../checks/registry.ts';
import { parseFault } from '../../guide/circuit/faults.ts';
import { faultModes, faultWeight } from '../../guide/circuit/link-kinds.ts';
import { type LoadedGuide, loadGuide } from '../../guide/file/load.ts';
import type { Fault, Guide } from '../../guide/types.ts';
import { ProbeLink } from '../../link/probe/probe-link.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { openBenchKey } from '../../record/signing/bench-key.ts';
import { JobRecord } from '../../record/store/record.ts';
import { calibrationOf } from '../../session/engine/calibration-in-force.ts';
import { runShown } from '../../session/engine/session-face.ts';
import { isolatorOf } from '../../session/job/guide-isolator.ts';
import { openJobSession } from '../../session/job/job-session.ts';
import { resolveSettings } from '../job/bench-settings.ts';
import { handsFace } from '../job/job-session.ts';
import { openingOf } from '../job/open-job.ts';
import { exampleFile } from '../places/example-file.ts';

/** A shop that nobody has: its benches, and jobs over some months, on the emulated probe with its real firmware. */
interface InventedShop {
  jobs: number;
  benches: number;
  seed: number;
  /** When the last job begins, in milliseconds since 1970, and over how many days they are spread. */
  endMs: number;
  days: number;
}

const guideFiles = ['field-recorder.yaml', 'two-stage-key.yaml'];
const technicians = ['Technician A', 'Technician B', 'Technician C', 'Technician D', 'Technician E', 'Technician F'];
const symptoms = [
  'the key does nothing',
  'the key works at times',
  'works only when pressed hard',
  'dead after a fall',
];
const dayMs = 24 * 3_600_000;
/** Between the steps of a job a technician reads, opens, and looks for tools. */
const pause = { chance: 0.15, meanMs: 45_000 };

/** The hands are so much quicker than a person's, to save the emulator its waiting; the clock makes up for it. */
const handsPace = 0.1;

/** Returns the folder of a bench of an invented shop. Beside its jobs lies its key. */
function benchFolder(shopFolder: string, bench: number): string {
  return join(shopFolder, `bench-${bench + 1}`);
}

function benchKeyFile(shopFolder: string, bench: number): string {
  return join(benchFolder(shopFolder, bench), 'bench-key.pem');
}

/**
 * Makes the records of an invented shop: real jobs, each worked by hands on an emulated probe to its
 * end, closed, and signed with the key of its bench. They verify like any other, and are marked as
 * emulated. `onJob` is told after each. Returns the folders of the benches that had a job.
 *
 * @throws OhmwrightError as the records do
 */
export async function inventShop(
  folder: string,
  shop: InventedShop,
  signal: AbortSignal,
  onJob: (done: number) => void = () => undefined,
): Promise<string[]> {
  const folders = new Set<string>();
  const { randomOf } = await import('../../../sim/random.ts');
  const random = randomOf(shop.seed, 'shop');
  const guides = await Promise.all(guideFiles.map((name) => loadGuide(exampleFile(name), checkKinds)));
  const known: { serial: string; guide: LoadedGuide; revision: string }[] = [];
  for (let i = 0; i < shop.jobs; i += 1) {
    signal.throwIfAborted();
    const bench = random.integer(0, shop.benches - 1);
    const isBack = known.length > 5 && random.uniform() < 0.08;
    const guide = guides[random.uniform() < 0.65 ? 0 : 1]!;
    const { holds } = guide.guide.revisions;
    const unit = isBack
      ? known[random.integer(Math.max(0, known.length - 30), known.length - 1)]!
      : {
          serial: `W${String(shop.seed * 100_000 + i).padStart(7, '0')}`,
          guide,
          revision: holds[random.integer(0, holds.length - 1)]!,
        };
    if (!isBack) known.push(unit);
    const day = Math.floor(shop.endMs / dayMs) - shop.days + Math.floor((i * shop.days) / shop.jobs);
    const startMs = day * dayMs + (8 + 9 * random.uniform()) * 3_600_000;
    const faults = random.uniform() < 0.08 ? [] : [drawnFault(unit.guide.guide, unit.revision, random.uniform)];
    const job: InventedJob = {
      ...unit,
      faults,
      startMs,
      technician: technicians[(bench + random.integer(0, 1)) % technicians.length]!,
      ticket: String(10_000 + i),
      symptom: symptoms[random.integer(0, symptoms.length - 1)]!,
      seed: shop.seed * 1_000_003 + i,
      uniform: random.uniform,
      exponential: random.exponential,
    };
    await workInvented(benchFolder(folder, bench), benchKeyFile(folder, bench), job, signal);
    folders.add(benchFolder(folder, bench));
    onJob(i + 1);
  }
  return [...folders].sort();
}

interface InventedJob {
  guide: LoadedGuide;
  revision: string;
  serial: string;
  faults: Fault[];
  startMs: number;
  technician: string;
  ticket: string;
  symptom: string;
  seed: number;
  uniform: () => number;
  exponential: (mean: number) => number;
}

async function workInvented(folder: string, keyFile: string, job: InventedJob, signal: AbortSignal): Promise<void> {
  const { guide, text, sha256 } = job.guide;
  const { simulate } = await import('../../../sim/index.ts');
  const simulation: Simulation = simulate({ guide, faults: job.faults, seed: job.seed, pace: handsPace });
  let pausedMs = 0;
  const clock = (): number => {
    if (job.uniform() < pause.chance) pausedMs += job.exponential(pause.meanMs);
    return Math.round(job.startMs + pausedMs + simulation.probe.nowUs / 1000 / handsPace);
  };
  const { revision, serial, ticket, symptom, technician } = job;
  const opening = {
    ...openingOf(guide, { text, sha256 }, { revision, serial, ticket, symptom, technician }),
    emulated: true as const,
  };
  const key = openBenchKey(keyFile);
  const record = await JobRecord.create(folder, opening, { clock });
  try {
    const session = openJobSession({
      guide,
      record,
      key,
      isolator: isolatorOf(guide),
      settings: resolveSettings({ port: simulatedPort, order: 'information', repair: 'first', accepted: ['all'] }),
      probe: {
        connect: (onItem, stop) =>
          ProbeLink.connect(() => simulation.transport, { onItem, signal: stop, reconnect: true }),
        inForce: async (stored, probeSerial) => calibrationOf(stored, probeSerial, clock()),
        hold: () => simulation.transport.hold(),
      },
    });
    await runShown(session, [handsFace(simulation.hands, undefined)], signal);
  } finally {
    await record.close();
  }
}

/** Draws a fault by the guide's own weights; of each revision another unit is the weak one. */
function drawnFault(guide: Guide, revision: string, uniform: () => number): Fault {
  const weak = guide.units[guide.revisions.holds.indexOf(revision) % guide.units.length]!.id;
  const ways = guide.links.flatMap((link) =>
    faultModes.flatMap((mode) => {
      const weight = faultWeight(link, mode) * (link.unit === weak ? 3 : 1);
      const parsed = weight > 0 ? parseFault(`${link.id}=${mode}`, guide) : null;
      return parsed?.ok === true ? [{ fault: parsed.fault, weight }] : [];
    }),
  );
  let left = uniform() * ways.reduce((sum, { weight }) => sum + weight, 0);
  for (const { fault, weight } of ways) {
    left -= weight;
    if (left <= 0) return fault;
  }
  return ways.at(-1)!.fault;
}
