import type { Guide } from '../../guide/types.ts';
import { LinkError } from '../../link/link-error.ts';
import type { Entry } from '../../record/entries/entries.ts';
import type { BenchKey } from '../../record/signing/bench-key.ts';
import type { JobRecord } from '../../record/store/record.ts';
import { Engine } from '../engine/engine.ts';
import type { FoundProbe, SessionProbe } from '../engine/session-parts.ts';
import type { Isolator } from './isolator.ts';
import { openJobState, stepJob } from './job-reducer.ts';
import type {
  ClosingEnding,
  Effect,
  JobSessionEvent,
  JobSessionState,
  JobSettings,
  ProbeMode,
  Watching,
} from './job-session-state.ts';
import { JobReadingEvents } from './reading-events.ts';

/** What a job's session works with. */
export interface JobSessionDeps {
  guide: Guide;
  record: JobRecord;
  settings: JobSettings;
  probe: SessionProbe;
  /** Signs the record's end when the job is closed; none: it stays unsigned. */
  key?: BenchKey;
  /** Tells suspects apart; without it checks are only done, and nothing is concluded. */
  isolator?: Isolator;
  /** Resolves to a drift warning, or null. Omit it to skip the drift check. Must not reject. */
  driftOf?(probeSerial: number): Promise<string | null>;
}

/** A job's session. An entry is appended and synced before the event that says so. */
export type JobSession = Engine<JobSessionState, JobSessionEvent, Effect>;

/**
 * Returns a session at a job, not yet running: the engine with the job's reducer and record. It
 * ends when the job is closed, abandoned or left. Beside what the engine throws, {@link Engine.run}
 * throws `record.*` when an entry could not be stored.
 */
export function openJobSession(deps: JobSessionDeps): JobSession {
  const watcher = new JobReadingEvents();
  return new Engine({
    state: openJobState(deps.guide, deps.record.state, deps.settings, deps.isolator ?? null),
    step: stepJob,
    watcher,
    probe: deps.probe,
    found: (probe) => foundEvent(probe, deps),
    lost: (why) => ({ type: 'disconnected', why }),
    asked: (prompt) => ({ type: 'asked', prompt }),
    leave: { type: 'quit' },
    async carryOut(effect, engine) {
      switch (effect.do) {
        case 'append':
          return await store(deps, engine, (record) => record.append(effect.entry));
        case 'close':
          return await closeJob(deps, engine, effect.ending);
        case 'mode':
          return await setMode(engine, watcher, effect.set, effect);
        case 'bridge':
          return await closeBridge(engine, effect.durationMs);
      }
    },
  });
}

async function foundEvent(probe: FoundProbe, { driftOf }: JobSessionDeps): Promise<JobSessionEvent> {
  const { identity, path } = probe;
  const { calibration, text: calibrationState, origin } = probe.inForce;
  const drift = (await driftOf?.(identity.probeSerial)) ?? null;
  return { type: 'connected', identity, path, calibration, calibrationState, origin, drift };
}

/** While the host writes and syncs, a virtual probe's clock stands still. */
async function store(deps: JobSessionDeps, engine: JobSession, write: (record: JobRecord) => Promise<Entry>) {
  const release = deps.probe.hold?.();
  try {
    engine.dispatch({ type: 'appended', entry: await write(deps.record) });
  } finally {
    release?.();
  }
}

async function closeJob(deps: JobSessionDeps, engine: JobSession, { kind, why }: ClosingEnding): Promise<void> {
  const { key } = deps;
  const counters = { ...(await engine.link).counters() };
  await store(deps, engine, (record) => record.append({ kind: 'link', counters }));
  await store(deps, engine, (record) => record.closeJob(why, { abandoned: kind === 'abandoned', key }));
}

async function setMode(engine: JobSession, watcher: JobReadingEvents, set: ProbeMode, watching: Watching) {
  const { mode, level, input } = set;
  const refusal = await engine.setMode({ type: 'mode', mode, level, range: 'auto', input }, () => {
    watcher.start(set, watching, engine.state.probe!.calibration);
    engine.dispatch({ type: 'mode-set' });
  });
  if (refusal !== null) engine.dispatch({ type: 'mode-refused' });
}

/** What comes of it the readings and the probe's events tell. */
async function closeBridge(engine: JobSession, durationMs: number): Promise<void> {
  const link = await engine.link;
  try {
    await link.request({ type: 'bridge', durationMs });
  } catch (error) {
    if (error instanceof LinkError && error.status !== undefined) {
      engine.dispatch({ type: 'bridge-refused', status: error.status });
    } else engine.unlessLinkBroke(error);
  }
}
