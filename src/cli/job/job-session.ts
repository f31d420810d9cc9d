import { createInterface } from 'node:readline';
import { folded } from '../../faces/lines/folded.ts';
import { PlainReporter } from '../../faces/lines/plain-reporter.ts';
import { parseTyped, typedHelp } from '../../faces/lines/typed-line.ts';
import type { ScreenOptions } from '../../faces/screen/terminal/terminal-capabilities.ts';
import type { Guide } from '../../guide/types.ts';
import type { Answer } from '../../ports/prompt.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import type { JobRecord } from '../../record/store/record.ts';
import { noReadings } from '../../session/engine/recent-readings.ts';
import { runShown, type SessionFace } from '../../session/engine/session-face.ts';
import type { ShownSession } from '../../session/engine/session-parts.ts';
import { isolatorOf } from '../../session/job/guide-isolator.ts';
import { openJobSession } from '../../session/job/job-session.ts';
import type { JobSessionEvent, JobSessionState } from '../../session/job/job-session-state.ts';
import { jobView } from '../../view/job/job-view.ts';
import { freshUi } from '../../view/job/keyboard.ts';
import { tellsMore, toldView } from '../../view/job/told.ts';
import { summaryLines } from '../../view/words/summary.ts';
import { jobPage } from '../page/job-page.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { type Context, exitUnlessInterrupted, whenStopped } from '../program/context.ts';
import { type ExitCode, exitCodes } from '../program/exit-codes.ts';
import type { HeldProbe } from '../program/held-probe.ts';
import { openProbe } from '../program/open-probe.ts';
import type { SessionOptions } from '../program/program-options.ts';
import { driftText, latestProofs } from '../statistics/probe-drift.ts';
import { resolveSettings } from './bench-settings.ts';
import { signingKeyOf } from './open-job.ts';
import { type HandsOfSimulator, makeSimulator } from './simulator.ts';

/**
 * How a job is worked, and on a screen how it is shown. `pace`: of the emulated hands, as {@link
 * makeSimulator} takes it. `accepted`: ids of cautions that are acknowledged beforehand. `concludes`:
 * false when checks are only done, and nothing is made of them. `held`: the probe, where it was opened
 * before the job.
 */
export type WorkOptions = SessionOptions &
  ScreenOptions & { pace?: number; accepted?: readonly string[]; concludes?: boolean; held?: HeldProbe | null };

export type JobFace = SessionFace<JobSessionState, JobSessionEvent>;

export type FaceMaker = (options: WorkOptions, context: Context) => Promise<JobFace>;

/**
 * Runs a job to its end on a real or emulated probe, shown by a face; returns the last state. The
 * record stays open, it is the caller's.
 */
export async function runJob(
  guide: Guide,
  record: JobRecord,
  options: WorkOptions,
  context: Context,
  openFace: FaceMaker = plainFace,
): Promise<JobSessionState> {
  const { terminal, signal } = context;
  // looked at before the work: a key that can't be used is no news for its end
  const key = signingKeyOf(options, terminal);
  const simulator = options.port === simulatedPort ? await makeSimulator(guide, options) : null;
  const probe = await openProbe(options, context, { transport: simulator?.transport, held: options.held });
  const isolator = options.concludes === false ? undefined : isolatorOf(guide);
  // the circuit of a large guide takes a while: it is worked out before a probe waits for an answer
  isolator?.believe(record.state);
  const proofs = latestProofs(jobsFolderOf(options.jobs, terminal));
  const session = openJobSession({
    guide,
    record,
    settings: resolveSettings(options),
    key,
    ...(isolator === undefined ? {} : { isolator }),
    probe,
    driftOf: async (serial) => driftText(await proofs, serial),
  });
  const hands = simulator === null ? [] : [handsFace(simulator.hands, options.pace)];
  try {
    const pages = await jobPage(guide, record, options, context);
    return await runShown(session, [...pages, await openFace(options, context), ...hands], signal);
  } finally {
    const problem = probe.endLog();
    if (problem !== null) terminal.say(problem);
  }
}

/** Returns the face of plain lines: for any terminal, for a pipe, for a screen reader. */
async function plainFace(options: WorkOptions, context: Context): Promise<JobFace> {
  const { terminal, signal } = context;
  const leaving = () => terminal.say('Leaving; the job stays open. A second Ctrl-C ends the program at once.');
  const forget = whenStopped(signal, leaving);
  let endTyping = (): void => undefined;
  return {
    join(session) {
      const reporter = new PlainReporter((line) => {
        for (const row of folded(line, terminal.talkCols)) terminal.say(row);
      });
      session.states$.subscribe(({ before, state }) => {
        if (tellsMore(before, state)) reporter.view(toldView(state));
      });
      if (options.port !== simulatedPort || resolveSettings(options).repair === 'ask')
        endTyping = takeTypedLines(session, context);
    },
    async close() {
      forget();
      endTyping();
    },
  };
}

/** Time for reading a caution at human pace, in microseconds of probe time. */
const cautionUs = 2_000_000;

/**
 * Returns the simulator's hands as a face: they do what is asked. A caution they acknowledge as
 * soon as it is read, at human pace after some time.
 */
export function handsFace(hands: HandsOfSimulator, pace: number | undefined): JobFace {
  return {
    join(session) {
      const answer = (prompt: string, said: Answer): void =>
        session.command({ type: 'answer', prompt, answer: said, by: 'hands' });
      hands.onAnswer = answer;
      session.prompts$.subscribe((prompt) => {
        if (prompt.act === 'wait' || prompt.act === 'choose') return;
        if (prompt.act === 'answer' && prompt.check === undefined) {
          if (pace === undefined) answer(prompt.id, 'yes');
          else hands.perform([{ do: 'wait', us: pace * cautionUs }], () => answer(prompt.id, 'yes'));
          return;
        }
        hands.prompt({ ...prompt, act: prompt.act });
      });
    },
  };
}

/**
 * Reads what a person types, a line at a time. A closed stdin (a pipe that ended) ends nothing: the
 * probe's button goes on.
 */
function takeTypedLines(session: ShownSession<JobSessionState, JobSessionEvent>, { terminal }: Context): () => void {
  const lines = createInterface({ input: terminal.stdin, terminal: false });
  lines.on('line', (line) => {
    const typed = parseTyped(line, jobView(session.state, noReadings(), freshUi()));
    if (typed === null) terminal.say(typedHelp);
    else session.command(typed);
  });
  return () => lines.close();
}

/** What is told of a session that has ended. */
export type EndedSession = Pick<JobSessionState, 'job' | 'phase'>;

/** Says what a job came to, and returns its exit code. */
export function summarizeSession(state: EndedSession, recordPath: string, { terminal, signal }: Context): number {
  const exitCode = (code: ExitCode): number => exitUnlessInterrupted(code, signal);
  for (const line of summaryLines(state.job)) terminal.say(line);
  terminal.say(`record: ${recordPath}`);
  if (state.phase === 'left') {
    terminal.say(`The job is open; go on with: ohmwright resume ${recordPath}`);
    return exitCode(exitCodes.inconclusive);
  }
  switch (state.job.result) {
    case 'passed':
    case 'repaired':
      return exitCode(exitCodes.passed);
    case 'failed':
      // what no fault of the guide explains is not found
      return exitCode(state.job.concluded?.conclusion === 'unknown' ? exitCodes.inconclusive : exitCodes.failed);
    default:
      return exitCode(exitCodes.inconclusive);
  }
}
