import { checkKinds } from '../../checks/registry.ts';
import { wantsScreen } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { loadSoundGuide } from '../../guide/file/load.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { loadScreen } from '../program/load-screen.ts';
import type { ResumeOptions, StartOptions } from '../program/program-options.ts';
import type { WorkOptions } from './job-session.ts';
import { type OpenedJob, openJob, resumeJob } from './open-job.ts';
import { workJob } from './run.ts';

/** Factor on the hands' times while a person looks on: those of a quick person. */
const handsPace = 1;

/**
 * `start`: opens a job by a guide and goes to the live screen; in a pipe, or where asked, plain
 * lines tell the same.
 */
export async function start(guideFile: string, options: StartOptions, context: Context): Promise<number> {
  const file = await loadSoundGuide(guideFile, checkKinds);
  if (!wantsScreen(context.terminal, options)) return workJob(await openJob(file, options, context), options, context);
  const screen = await loadScreen();
  const told = await screen.askIntake(file.guide, options, context);
  if (told === null) return exitCodes.inconclusive;
  const job = await openJob(file, { ...options, ...told }, context);
  return workJob(job, watched(options), context, screen.jobScreen);
}

/** `resume`: goes on with a job where its record stands. */
export async function resume(job: string, options: ResumeOptions, context: Context): Promise<number> {
  return goOn(() => resumeJob(job, options, context), options, context);
}

/** Works a job whose record is opened again, on the live screen or as lines. */
export async function goOn(open: () => Promise<OpenedJob>, options: ResumeOptions, context: Context): Promise<number> {
  if (!wantsScreen(context.terminal, options)) return workJob(await open(), options, context);
  const screen = await loadScreen();
  return workJob(await open(), watched(options), context, screen.jobScreen);
}

/** On a screen the emulated hands keep a person's pace, unless they shall be fast. */
function watched(options: ResumeOptions): WorkOptions {
  if (options.port !== simulatedPort || options.fast) return options;
  return { ...options, realTime: true, pace: handsPace };
}
