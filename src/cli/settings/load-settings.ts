import { join } from 'node:path';
import type { Terminal } from '../../faces/screen/terminal/terminal.ts';
import { exists } from '../../files/folder.ts';
import { jobsFolderOf, userSettingsPath } from '../places/locations.ts';
import { type SettingName, type SettingValue, settingNames, settingTable, variableOf } from './setting-table.ts';
import type { FileSettings } from './settings-file.ts';

/** Where a value comes from: a file's path, a variable of the environment, or nowhere. */
interface Origin {
  origin: string;
  value: unknown;
}

/** What counts, and why. */
export interface Settings {
  /** The value in force; undefined: nobody says, and it is decided where it is used. */
  get<Name extends SettingName>(name: Name): SettingValue<Name> | undefined;
  /** All that say something about a setting, the one in force first; the fallback is not among them. */
  originsOf(name: SettingName): readonly Origin[];
  /** What can't be used, in sentences. */
  problems: readonly string[];
  /** The files that may say something. */
  userFile: string;
  shopFile: string;
}

/** Name of the shop's file in the jobs folder. */
const shopFileName = 'shop.yaml';

/**
 * Returns what the environment, the shop's file and the user's file say, in this order of strength;
 * an option is stronger than all. `jobs`: the jobs folder that an option names.
 */
export async function loadSettings({ env, cwd }: Pick<Terminal, 'env' | 'cwd'>, jobs?: string): Promise<Settings> {
  const userFile = userSettingsPath({ env, cwd });
  const user = await fileAt(userFile, 'user');
  const told = environment(env);
  const folder = jobs ?? told.values.get('jobs') ?? user?.values.get('jobs');
  const shopFile = join(jobsFolderOf(folder as string | undefined, { cwd }), shopFileName);
  const shop = await fileAt(shopFile, 'shop');
  const origins = (name: SettingName): Origin[] => [
    ...(told.values.has(name) ? [{ origin: variableOf(name), value: told.values.get(name) }] : []),
    ...[shop, user].flatMap((file) =>
      file?.values.has(name) ? [{ origin: file.path, value: file.values.get(name) }] : [],
    ),
  ];
  return {
    get: <Name extends SettingName>(name: Name) =>
      (origins(name)[0]?.value ?? settingTable[name].fallback) as SettingValue<Name> | undefined,
    originsOf: origins,
    problems: [...told.problems, ...(shop?.problems ?? []), ...(user?.problems ?? [])],
    userFile,
    shopFile,
  };
}

/** YAML is loaded only where there is a file of it. */
async function fileAt(path: string, kind: 'user' | 'shop'): Promise<FileSettings | null> {
  return (await exists(path)) ? await (await import('./settings-file.ts')).readSettings(path, kind) : null;
}

function environment(env: Terminal['env']): Pick<FileSettings, 'values' | 'problems'> {
  const values = new Map<SettingName, unknown>();
  const problems: string[] = [];
  for (const name of settingNames) {
    const text = env[variableOf(name)];
    if (text === undefined || text === '') continue;
    const taken = settingTable[name].read(text);
    if (taken !== null) values.set(name, taken);
    else
      problems.push(
        `${variableOf(name)}: it takes ${settingTable[name].takes}. In its place counts what a file says, else ${settingTable[name].otherwise}.`,
      );
  }
  return { values, problems };
}
