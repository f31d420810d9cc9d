import { dirname, join } from 'node:path';
import type { Terminal } from '../../faces/screen/terminal/terminal.ts';

/**
 * Returns the jobs folder: the option, else the environment's OHMWRIGHT_JOBS, else `ohmwright-jobs`
 * here.
 */
export function jobsFolderOf(option: string | undefined, { env, cwd }: Pick<Terminal, 'env' | 'cwd'>): string {
  return option ?? env.OHMWRIGHT_JOBS ?? join(cwd, 'ohmwright-jobs');
}

/**
 * Returns the folder of this host's calibrations: the option, else the environment's
 * OHMWRIGHT_CALIBRATIONS, else `ohmwright-calibrations` here.
 */
export function calibrationsFolderOf(option: string | undefined, { env, cwd }: Pick<Terminal, 'env' | 'cwd'>): string {
  return option ?? env.OHMWRIGHT_CALIBRATIONS ?? join(cwd, 'ohmwright-calibrations');
}

/**
 * Returns where the bench's key is: the environment's OHMWRIGHT_KEY, else in the user's folder for
 * settings.
 */
export function benchKeyPath({ env, cwd }: Pick<Terminal, 'env' | 'cwd'>): string {
  if (env.OHMWRIGHT_KEY !== undefined && env.OHMWRIGHT_KEY !== '') return env.OHMWRIGHT_KEY;
  const settings = env.XDG_CONFIG_HOME ?? env.APPDATA ?? (env.HOME === undefined ? cwd : join(env.HOME, '.config'));
  return join(settings, 'ohmwright', 'bench-key.pem');
}

/** Returns where the key is that jobs on the emulated probe are signed with: beside the bench's. */
export function emulatedKeyPath(terminal: Pick<Terminal, 'env' | 'cwd'>): string {
  return join(dirname(benchKeyPath(terminal)), 'emulated-key.pem');
}
