import { checkKinds } from '../../checks/registry.ts';
import { type ScreenOptions, wantsScreen } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { loadSoundGuide } from '../../guide/file/load.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { loadScreen } from '../program/load-screen.ts';
import { simulatedPort } from '../program/open-probe.ts';
import { openingOf, type RunOptions, run } from './run.ts';

export interface StartOptions extends RunOptions, ScreenOptions {
  /** Emulated probe and hands as fast as they go, in place of a person's pace. */
  fast?: boolean;
}

/** Factor on the hands' times while a person looks on: those of a quick person. */
const handsPace = 1;

/** `start`: opens a job by a guide and goes to the live screen; in a pipe, or where asked, plain lines tell the same. */
export async function start(guideFile: string, options: StartOptions, context: Context): Promise<number> {
  if (!wantsScreen(context.terminal, options)) return run(guideFile, options, context);
  const { guide, text, sha256 } = await loadSoundGuide(guideFile, checkKinds);
  const screen = await loadScreen();
  const answered = await screen.askIntake(guide, options, context);
  if (answered === null) return exitCodes.interrupted;
  const whole = { ...options, ...answered };
  openingOf(guide, { text, sha256 }, whole);
  return run(guideFile, watched(whole), context, screen.jobScreen);
}

/** `resume`: goes on with a job where its record stands. */
export async function resume(job: string, options: StartOptions, context: Context): Promise<number> {
  const whole = { ...options, resume: job };
  if (!wantsScreen(context.terminal, options)) return run(undefined, whole, context);
  const screen = await loadScreen();
  return run(undefined, watched(whole), context, screen.jobScreen);
}

/** On a screen the emulated hands keep a person's pace, unless they shall be fast. */
export function watched<T extends StartOptions>(options: T): T {
  if (options.port !== simulatedPort || options.fast === true) return options;
  return { ...options, realTime: true, pace: options.pace ?? handsPace };
}
