import { resolve } from 'node:path';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { didYouMean } from '../../guide/file/near.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { ConfigListOptions } from './config-list-command.ts';
import type { ConfigSetOptions } from './config-set-command.ts';
import { loadSettings, type Settings } from './load-settings.ts';
import { isSetting, type SettingName, settingNames, settingTable, variableOf } from './setting-table.ts';
import { writeSettings } from './settings-file.ts';

/** One setting as `config` tells it. */
interface ToldSetting {
  key: SettingName;
  value: unknown;
  /** `default`, a variable of the environment, or a file. */
  origin: string;
  /** What says it too, and counts for nothing. */
  overruled: string[];
}

/** `config list`: every setting, its value, and where it comes from. */
export async function configList(options: ConfigListOptions, { terminal }: Context): Promise<number> {
  const settings = await loadSettings(terminal, options.jobs);
  const told = settingNames.map((name) => toldOf(settings, name));
  const { userFile, shopFile, problems } = settings;
  if (options.json) printJson(terminal, { userFile, shopFile, settings: told, problems });
  else {
    for (const one of told) {
      const { otherwise, about } = settingTable[one.key];
      const value = one.value === null ? `(${otherwise})` : shown(one.value);
      terminal.out(`${one.key.padEnd(13)} ${value}`);
      const over = one.overruled.length === 0 ? '' : `; in place of what ${one.overruled.join(' and ')} says`;
      terminal.out(`${' '.repeat(13)}   ${about}; from ${one.origin}${over}`);
    }
    terminal.say(`your file: ${userFile}`);
    terminal.say(`the shop's file: ${shopFile}`);
  }
  for (const problem of problems) terminal.say(problem);
  return problems.length === 0 ? exitCodes.passed : exitCodes.usage;
}

/** `config get`: the value of one setting in force; nothing when nobody says it. */
export async function configGet(key: string, options: { json: boolean }, { terminal }: Context): Promise<number> {
  const told = toldOf(await loadSettings(terminal), known(key));
  if (options.json) printJson(terminal, told);
  else if (told.value !== null) terminal.document(`${shown(told.value)}\n`);
  else terminal.say(`${key} is not set: ${settingTable[told.key].otherwise}.`);
  return exitCodes.passed;
}

/** `config set`: writes one setting into the user's file, or the shop's. */
export async function configSet(
  key: string,
  value: string,
  { shop }: ConfigSetOptions,
  { terminal }: Context,
): Promise<number> {
  const name = known(key);
  const { files, takes, isPath, read } = settingTable[name];
  if (shop && !(files as readonly string[]).includes('shop'))
    throw usage(`${key} is a matter of each bench: a shop's file can't say it.`, 'Leave --shop away.');
  const taken = read(value);
  if (taken === null) throw usage(`${key}: it takes ${takes}, not '${value}'.`, 'See `ohmwright config list`.');
  const settings = await loadSettings(terminal);
  const file = shop ? settings.shopFile : settings.userFile;
  await writeSettings(file, { [name]: isPath === true ? resolve(terminal.cwd, value) : shown(taken) });
  terminal.say(`${file}: ${key} is ${shown(taken)}.`);
  const [first] = (await loadSettings(terminal)).originsOf(name);
  if (first !== undefined && first.origin !== file)
    terminal.say(`It does not count here: ${first.origin} says ${shown(first.value)}.`);
  return exitCodes.passed;
}

/** `config unset`: takes one setting out of the user's file, or the shop's. */
export async function configUnset(key: string, { shop }: ConfigSetOptions, { terminal }: Context): Promise<number> {
  const name = known(key);
  const settings = await loadSettings(terminal);
  const file = shop ? settings.shopFile : settings.userFile;
  await writeSettings(file, { [name]: null });
  terminal.say(`${file}: ${key} is not set any more.`);
  return exitCodes.passed;
}

function toldOf(settings: Settings, key: SettingName): ToldSetting {
  const [first, ...others] = settings.originsOf(key);
  return {
    key,
    value: settings.get(key) ?? null,
    origin: first?.origin ?? 'default',
    overruled: others.map(({ origin }) => origin),
  };
}

function shown(value: unknown): string {
  return typeof value === 'boolean' ? (value ? 'yes' : 'no') : String(value);
}

function known(key: string): SettingName {
  if (isSetting(key)) return key;
  const ofVariable = settingNames.find((name) => variableOf(name) === key);
  throw usage(
    `There is no setting '${key}'${ofVariable === undefined ? didYouMean(key, settingNames) : `, did you mean '${ofVariable}'?`}`,
    `The settings are ${settingNames.join(', ')}.`,
  );
}

function usage(message: string, help: string): OhmwrightError {
  return new OhmwrightError('usage.config', message, { help });
}
