import { createInterface } from 'node:readline';
import type { Prompt } from '../bench/prompt.ts';
import { Session } from '../bench/session.ts';
import { type BenchSettings, type BenchState, defaultBenchSettings } from '../bench/state.ts';
import type { Guide } from '../guide/types.ts';
import type { JobRecord } from '../job/record.ts';
import { ByteLog } from '../link/byte-log.ts';
import { onlyProbe, serialSource } from '../link/find-probes.ts';
import { ProbeLink } from '../link/probe-link.ts';
import { summaryLines } from '../report/summary-lines.ts';
import { type Context, isInterrupted } from './context.ts';
import { exitCodes } from './exit-codes.ts';
import { PlainReporter } from './plain-reporter.ts';
import { makeSimulator, type SimulatorOptions } from './simulator.ts';
import { parseTyped, typedHelp } from './typed-line.ts';

export interface SessionOptions extends SimulatorOptions {
  port?: string;
  bytes?: string;
  acceptCautions?: string;
}

/** Name under which the emulated probe goes as a port. */
export const simulatedPort = 'sim:';

/** Hands wait this long in probe time for a touch before it counts as no contact; a person is waited for without end. */
const handsNoContactUs = 20_000_000;

/** Runs a job to its end on a real or emulated probe, told in plain lines; returns the last state. Closes the record. */
export async function runJob(
  guide: Guide,
  record: JobRecord,
  options: SessionOptions,
  context: Context,
): Promise<BenchState> {
  const { terminal, signal } = context;
  const simulated = options.port === simulatedPort;
  const port = options.port ?? (await onlyProbe({ signal }));
  const openSerial = serialSource(port);
  const simulator = simulated ? await makeSimulator(guide, options) : null;
  const byteLog = options.bytes === undefined ? undefined : new ByteLog(options.bytes);
  const reporter = new PlainReporter((line) => terminal.say(line));
  const session: Session = new Session({
    guide,
    record,
    settings: settingsOf(options, simulated),
    connect: (onItem, stop) =>
      ProbeLink.connect(() => simulator?.transport ?? openSerial(), {
        onItem,
        signal: stop,
        reconnect: true,
        ...(byteLog === undefined ? {} : { byteLog }),
      }),
    ...(simulator === null ? {} : { hold: () => simulator.transport.hold() }),
    onState: (state, event) => reporter.state(state, event),
    onPrompt: (prompt) => {
      reporter.prompt(prompt);
      if (simulator !== null) askHands(simulator.hands, prompt, session);
    },
  });
  if (simulator !== null) {
    simulator.hands.onAnswer = (id, answer) => session.command({ type: 'answer', prompt: id, answer, by: 'hands' });
  }
  const leaving = () => terminal.say('Leaving; the job stays open. A second Ctrl-C ends the program at once.');
  signal.addEventListener('abort', leaving, { once: true });
  const endTyping = simulated ? () => undefined : takeTypedLines(session, context);
  try {
    return await session.run(signal);
  } finally {
    endTyping();
    signal.removeEventListener('abort', leaving);
    byteLog?.close();
    if (byteLog?.problem != null) terminal.say(byteLog.problem);
    await record.close();
  }
}

function settingsOf(options: SessionOptions, simulated: boolean): BenchSettings {
  return {
    ...defaultBenchSettings,
    noContactAfterUs: simulated ? handsNoContactUs : null,
    acceptedCautions: options.acceptCautions?.split(',').map((id) => id.trim()) ?? [],
  };
}

type HandsOfSimulator = Awaited<ReturnType<typeof makeSimulator>>['hands'];

/** Gives a prompt to the simulator's hands; a caution they acknowledge as soon as it is read. */
function askHands(hands: HandsOfSimulator, prompt: Prompt, session: Session): void {
  if (prompt.act === 'wait') return;
  if (prompt.act === 'answer' && prompt.check === undefined) {
    session.command({ type: 'answer', prompt: prompt.id, answer: 'yes', by: 'hands' });
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
    terminal.say(`The job is open; go on with: ohmwright run --resume ${recordPath}`);
    return isInterrupted(signal) ? exitCodes.interrupted : exitCodes.inconclusive;
  }
  switch (state.job.result) {
    case 'passed':
      return exitCodes.passed;
    case 'failed':
      return exitCodes.failed;
    default:
      return exitCodes.inconclusive;
  }
}
