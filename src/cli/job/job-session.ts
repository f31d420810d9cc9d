import { createInterface } from 'node:readline';
import { PlainReporter } from '../../faces/lines/plain-reporter.ts';
import { parseTyped, typedHelp } from '../../faces/lines/typed-line.ts';
import type { Guide } from '../../guide/types.ts';
import { onlyProbe, serialSource } from '../../link/probe/find-probes.ts';
import { ProbeLink } from '../../link/probe/probe-link.ts';
import { ByteLog } from '../../link/recording/byte-log.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { openBenchKey } from '../../record/signing/bench-key.ts';
import { readCalibrationFile } from '../../record/store/calibration-file.ts';
import type { JobRecord } from '../../record/store/record.ts';
import { isolatorOf } from '../../session/job/guide-isolator.ts';
import { Session } from '../../session/job/job-session.ts';
import {
  type BenchEvent,
  type BenchSettings,
  type BenchState,
  defaultBenchSettings,
} from '../../session/job/job-session-state.ts';
import type { Order } from '../../session/job/task-list.ts';
import { summaryLines } from '../../view/words/summary.ts';
import { benchKeyPath } from '../program/bench-key-path.ts';
import { type Context, isInterrupted } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { calibrationsFolderOf, jobsFolderOf } from '../program/record-path.ts';
import { driftText, latestProofs } from '../statistics/probe-drift.ts';
import { makeSimulator, type SimulatorOptions } from './simulator.ts';

export interface SessionOptions extends SimulatorOptions {
  port?: string;
  bytes?: string;
  /** Folder of the jobs from which the probe's history is taken; default: as `jobsFolderOf` says. */
  jobs?: string;
  acceptCautions?: string;
  /** False: the record is closed without the bench's signature. */
  sign?: boolean;
  /** Order of the checks; default: by information. */
  order?: Order;
  /** What is done about a conclusion; default: a person is asked, the simulator's hands do nothing. */
  repair?: BenchSettings['repair'];
}

/** Where a session is shown and where its commands come from: plain lines, or the live screen. */
export interface SessionFace {
  state(state: BenchState, event: BenchEvent): void;
  prompt(prompt: Prompt): void;
  batch?(batch: ReadingBatch, state: BenchState): void;
  /** Takes commands for the session from now on. */
  join(session: Session): void;
  /** Rejects when the face itself breaks; the session is then left as on a quit. */
  readonly broken?: Promise<never>;
  close(): Promise<void>;
}

export type FaceMaker = (options: SessionOptions, context: Context) => Promise<SessionFace>;

/** Name under which the emulated probe goes as a port. */
export const simulatedPort = 'sim:';

/** Hands wait this long in probe time for a touch before it counts as no contact; a person is waited for without end. */
const handsNoContactUs = 20_000_000;

/** Runs a job to its end on a real or emulated probe, shown by a face; returns the last state. The record stays open, it is the caller's. */
export async function runJob(
  guide: Guide,
  record: JobRecord,
  options: SessionOptions,
  context: Context,
  openFace: FaceMaker = plainFace,
): Promise<BenchState> {
  const { signal } = context;
  const simulated = options.port === simulatedPort;
  // looked at before the work: a key that can't be used is no news for its end
  const key = options.sign === false ? undefined : openBenchKey(benchKeyPath(context.terminal));
  const port = options.port ?? (await onlyProbe({ signal }));
  const openSerial = serialSource(port);
  const simulator = simulated ? await makeSimulator(guide, options) : null;
  const byteLog = options.bytes === undefined ? undefined : new ByteLog(options.bytes);
  const isolator = isolatorOf(guide);
  // the circuit of a large guide takes a while: it is worked out before a probe waits for an answer
  isolator.believe(record.state);
  const proofs = latestProofs(jobsFolderOf(options.jobs, context.terminal));
  const face = await openFace(options, context);
  const session: Session = new Session({
    guide,
    record,
    settings: settingsOf(options, simulated),
    ...(key === undefined ? {} : { key }),
    isolator,
    connect: (onItem, stop) =>
      ProbeLink.connect(() => simulator?.transport ?? openSerial(), {
        onItem,
        signal: stop,
        reconnect: true,
        ...(byteLog === undefined ? {} : { byteLog }),
      }),
    driftOf: async (serial) => driftText(await proofs, serial),
    calibrationFile: (serial) => readCalibrationFile(calibrationsFolderOf(undefined, context.terminal), serial),
    now: () => context.terminal.now(),
    ...(simulator === null ? {} : { hold: () => simulator.transport.hold() }),
    onState: (state, event) => face.state(state, event),
    ...(face.batch === undefined ? {} : { onBatch: (batch, state) => face.batch?.(batch, state) }),
    onPrompt: (prompt) => {
      face.prompt(prompt);
      if (simulator !== null) askHands(simulator.hands, prompt, session, options.pace);
    },
  });
  if (simulator !== null) {
    simulator.hands.onAnswer = (id, answer) => session.command({ type: 'answer', prompt: id, answer, by: 'hands' });
  }
  face.join(session);
  const stop = new AbortController();
  try {
    const running = session.run(AbortSignal.any([signal, stop.signal]));
    if (face.broken === undefined) return await running;
    return await Promise.race([running, leftWhenBroken(face.broken, running, stop)]);
  } finally {
    await face.close();
    byteLog?.close();
    if (byteLog?.problem != null) context.terminal.say(byteLog.problem);
  }
}

/** A face that breaks ends the session as a quit does, so that link and record are closed in their order; then it is told. */
async function leftWhenBroken(broken: Promise<never>, running: Promise<unknown>, stop: AbortController) {
  try {
    return await broken;
  } catch (error) {
    stop.abort();
    await running.catch(() => undefined);
    throw error;
  }
}

/** Returns the face of plain lines: for any terminal, for a pipe, for a screen reader. */
async function plainFace(options: SessionOptions, context: Context): Promise<SessionFace> {
  const reporter = new PlainReporter((line) => context.terminal.say(line));
  const { terminal, signal } = context;
  const leaving = () => terminal.say('Leaving; the job stays open. A second Ctrl-C ends the program at once.');
  signal.addEventListener('abort', leaving, { once: true });
  let endTyping = (): void => undefined;
  return {
    state: (state, event) => reporter.state(state, event),
    prompt: (prompt) => reporter.prompt(prompt),
    join(session) {
      if (options.port !== simulatedPort || options.repair === 'ask') endTyping = takeTypedLines(session, context);
    },
    async close() {
      signal.removeEventListener('abort', leaving);
      endTyping();
    },
  };
}

function settingsOf(options: SessionOptions, simulated: boolean): BenchSettings {
  return {
    ...defaultBenchSettings,
    noContactAfterUs: simulated ? handsNoContactUs : null,
    order: options.order ?? 'information',
    repair: options.repair ?? (simulated ? 'none' : 'ask'),
    acceptedCautions: options.acceptCautions?.split(',').map((id) => id.trim()) ?? [],
  };
}

type HandsOfSimulator = Awaited<ReturnType<typeof makeSimulator>>['hands'];

/** Time for reading a caution at human pace, in microseconds of probe time. */
const cautionUs = 2_000_000;

/** Gives a prompt to the simulator's hands; a caution they acknowledge as soon as it is read, at human pace after some time. */
function askHands(hands: HandsOfSimulator, prompt: Prompt, session: Session, pace: number | undefined): void {
  if (prompt.act === 'wait' || prompt.act === 'choose') return;
  if (prompt.act === 'answer' && prompt.check === undefined) {
    const understood = (): void => session.command({ type: 'answer', prompt: prompt.id, answer: 'yes', by: 'hands' });
    if (pace === undefined) understood();
    else hands.perform([{ do: 'wait', us: pace * cautionUs }], understood);
    return;
  }
  hands.prompt({ ...prompt, act: prompt.act });
}

/** Reads what a person types, a line at a time. A closed stdin (a pipe that ended) ends nothing: the probe's button goes on. */
function takeTypedLines(session: Session, { terminal }: Context): () => void {
  const lines = createInterface({ input: terminal.stdin, terminal: false });
  lines.on('line', (line) => {
    const typed = parseTyped(line, session.state);
    if (typed === null) terminal.say(typedHelp);
    else session.command(typed);
  });
  return () => lines.close();
}

/** Says what a job came to, and returns its exit code. */
export function conclude(state: BenchState, recordPath: string, { terminal, signal }: Context): number {
  for (const line of summaryLines(state.job)) terminal.say(line);
  terminal.say(`record: ${recordPath}`);
  if (state.phase === 'left') {
    terminal.say(`The job is open; go on with: ohmwright resume ${recordPath}`);
    return isInterrupted(signal) ? exitCodes.interrupted : exitCodes.inconclusive;
  }
  switch (state.job.result) {
    case 'passed':
    case 'repaired':
      return exitCodes.passed;
    case 'failed':
      return exitCodes.failed;
    default:
      return exitCodes.inconclusive;
  }
}
