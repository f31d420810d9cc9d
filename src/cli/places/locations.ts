import { dirname, isAbsolute, join } from 'node:path';
import type { Terminal } from '../../faces/screen/terminal/terminal.ts';

type Surroundings = Pick<Terminal, 'env' | 'cwd'>;

/** Returns the jobs folder: the one that option or settings name, else `ohmwright-jobs` here. */
export function jobsFolderOf(named: string | undefined, { cwd }: Pick<Terminal, 'cwd'>): string {
  return named ?? join(cwd, 'ohmwright-jobs');
}

/**
 * Returns the folder of this host's calibrations: the one that option or settings name, else
 * `ohmwright-calibrations` here.
 */
export function calibrationsFolderOf(named: string | undefined, { cwd }: Pick<Terminal, 'cwd'>): string {
  return named ?? join(cwd, 'ohmwright-calibrations');
}

/**
 * Returns where the bench's key is: the environment's OHMWRIGHT_KEY, else in the user's folder for
 * settings.
 */
export function benchKeyPath(at: Surroundings): string {
  return named(at.env.OHMWRIGHT_KEY) ?? join(settingsFolder(at), 'bench-key.pem');
}

/**
 * Returns where the user's settings are: the environment's OHMWRIGHT_CONFIG, else in the user's
 * folder for settings.
 */
export function userSettingsPath(at: Surroundings): string {
  return named(at.env.OHMWRIGHT_CONFIG) ?? join(settingsFolder(at), 'config.yaml');
}

/**
 * Returns where is kept what holds for a day: beside the settings that OHMWRIGHT_CONFIG names, else
 * in the user's folder for the state of programs.
 */
export function dayFilePath(at: Surroundings): string {
  const { env } = at;
  if (named(env.OHMWRIGHT_CONFIG) !== undefined) return `${env.OHMWRIGHT_CONFIG}.day.json`;
  const state = absolute(env.XDG_STATE_HOME) ?? named(env.LOCALAPPDATA) ?? inHome(at, '.local', 'state');
  return join(state, 'ohmwright', 'day.json');
}

/** Returns where is kept what can be made again at any time: the user's folder for caches. */
export function cacheFolder(at: Surroundings): string {
  const { env } = at;
  return join(absolute(env.XDG_CACHE_HOME) ?? named(env.LOCALAPPDATA) ?? inHome(at, '.cache'), 'ohmwright');
}

/**
 * The user's folder for settings, by the XDG Base Directory Specification 0.8: a variable that is
 * empty or holds a relative path says nothing. On Windows APPDATA is its equal; on macOS the same
 * folder as on Linux is taken.
 */
function settingsFolder(at: Surroundings): string {
  const { env } = at;
  return join(absolute(env.XDG_CONFIG_HOME) ?? named(env.APPDATA) ?? inHome(at, '.config'), 'ohmwright');
}

function inHome({ env, cwd }: Surroundings, ...parts: string[]): string {
  const home = named(env.HOME) ?? named(env.USERPROFILE);
  return home === undefined ? cwd : join(home, ...parts);
}

function named(text: string | undefined): string | undefined {
  return text === undefined || text === '' ? undefined : text;
}

function absolute(text: string | undefined): string | undefined {
  return text !== undefined && isAbsolute(text) ? text : undefined;
}

/** Returns where the key is that jobs on the emulated probe are signed with: beside the bench's. */
export function emulatedKeyPath(terminal: Pick<Terminal, 'env' | 'cwd'>): string {
  return join(dirname(benchKeyPath(terminal)), 'emulated-key.pem');
}
