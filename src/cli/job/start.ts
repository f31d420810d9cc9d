import { checkKinds } from '../../checks/registry.ts';
import { wantsScreen } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { loadSoundGuide, type SoundGuide } from '../../guide/file/load.ts';
import type { Guide } from '../../guide/types.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { startIntake } from '../../view/job/intake.ts';
import type { IntakeFields } from '../../view/job/intake-fields.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { holdProbe } from '../program/held-probe.ts';
import type { ResumeOptions, StartOptions } from '../program/program-options.ts';
import { keepDay, readDay } from '../settings/bench-day.ts';
import { cautionsByOption } from '../settings/cautions-accepted.ts';
import { askOnFirstStart } from '../settings/first-start.ts';
import { loadScreen } from '../start-up/load-screen.ts';
import type { WorkOptions } from './job-session.ts';
import { type OpenedJob, openJob, resumeJob } from './open-job.ts';
import { finishClosed, workJob } from './run.ts';

/** Factor on the hands' times while a person looks on: those of a quick person. */
const handsPace = 1;

/**
 * `start`: opens a job by a guide and goes to the live screen; in a pipe, or where asked, plain
 * lines tell the same.
 */
export async function start(guideFile: string, options: StartOptions, context: Context): Promise<number> {
  const file = await loadSoundGuide(guideFile, checkKinds);
  cautionsByOption(file.guide, options.acceptCautions);
  const isOnScreen = wantsScreen(context.terminal, options);
  const first = await askOnFirstStart({ port: options.port, isOnScreen }, context);
  const settled = { ...options, ...given(options, first) };
  const held = await holdProbe(settled, context);
  try {
    return await startAt(file, { ...settled, port: held?.port ?? settled.port, held }, context, isOnScreen);
  } finally {
    await held?.release();
  }
}

/** Opens a job at a probe that answers, and works it. */
async function startAt(
  file: SoundGuide,
  atProbe: StartOptions & Pick<WorkOptions, 'held'>,
  context: Context,
  isOnScreen: boolean,
): Promise<number> {
  if (!isOnScreen) return workJob(await openJob(file, atProbe, context), atProbe, context);
  const screen = await loadScreen();
  const told = await askOncePerDay(file.guide, atProbe, context, (given) =>
    screen.askIntake(file.guide, given, context),
  );
  if (told === null) return exitCodes.inconclusive;
  const job = await openJob(file, { ...atProbe, ...told }, context);
  return workJob(job, watched(atProbe), context, screen.jobScreen);
}

/** What the answers on the first start say of options that were left out. */
function given(options: StartOptions, told: Awaited<ReturnType<typeof askOnFirstStart>>): Partial<StartOptions> {
  if (told === null) return {};
  const background = options.background ?? (told.background as StartOptions['background']);
  return {
    background,
    jobs: options.jobs ?? told.jobs,
    port: options.port ?? told.port,
    technician: options.technician ?? told.technician,
  };
}

/**
 * Asks for what a job is opened with; who is at the bench is asked by the first job of a day, and
 * kept for the others.
 */
async function askOncePerDay(
  guide: Guide,
  options: StartOptions,
  { terminal }: Context,
  ask: (given: StartOptions) => Promise<IntakeFields | null>,
): Promise<IntakeFields | null> {
  if (options.technician !== undefined || options.port === simulatedPort) return ask(options);
  const day = await readDay(terminal);
  const given = { ...options, technician: day.technician ?? undefined };
  const isAsked = startIntake(guide, given).asked.includes('technician');
  const told = await ask(given);
  if (told === null) return null;
  const { technician = '', ...others } = told;
  if (isAsked) keepDay({ ...day, technician }, terminal);
  return technician === '' ? others : told;
}

/** `resume`: goes on with a job where its record stands. */
export async function resume(job: string, options: ResumeOptions, context: Context): Promise<number> {
  return (await finishClosed(job, options, context)) ?? goOn(() => resumeJob(job, options, context), options, context);
}

/** Works a job whose record is opened again, on the live screen or as lines. */
export async function goOn(open: () => Promise<OpenedJob>, options: ResumeOptions, context: Context): Promise<number> {
  if (!wantsScreen(context.terminal, options)) return workJob(await open(), options, context);
  const screen = await loadScreen();
  return workJob(await open(), watched(options), context, screen.jobScreen);
}

/** On a screen the emulated hands keep a person's pace, unless they shall be fast. */
function watched(options: ResumeOptions & Pick<WorkOptions, 'held'>): WorkOptions {
  if (options.port !== simulatedPort || options.fast) return options;
  return { ...options, realTime: true, pace: handsPace };
}
