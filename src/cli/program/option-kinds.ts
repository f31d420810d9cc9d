import { InvalidArgumentError, Option } from 'commander';
import type { SettingName } from '../settings/setting-table.ts';

/**
 * An option of a command. Its name is the key that it has in the table of the command's options.
 */
export interface OptionKind<T> {
  /** What the command is given when the option is left out. */
  fallback: T;
  /** The setting that says it when the option is left out. */
  setting?: SettingName;
  /** How it was spelled before: taken as well, and not in the help. */
  before?: { name: string; kind: OptionKind<T> };
  /** Returns the option as commander takes it. `name` is in kebab case. */
  build(name: string): Option;
}

export type OptionTable = Readonly<Record<string, OptionKind<unknown>>>;

/** What a command is given: every option of its table, with a value each. */
export type OptionsOf<Table extends OptionTable> = {
  [Name in keyof Table]: Table[Name] extends OptionKind<infer T> ? T : never;
};

/** Returns what a command is given when every option is left out. */
export function fallbacksOf<Table extends OptionTable>(table: Table): OptionsOf<Table> {
  return Object.fromEntries(Object.entries(table).map(([name, { fallback }]) => [name, fallback])) as OptionsOf<Table>;
}

/** An option that a setting says when it is left out. */
export function setBy<T>(setting: SettingName, kind: OptionKind<T>): OptionKind<T> {
  return {
    ...kind,
    setting,
    build(name) {
      const option = kind.build(name);
      option.description += ` (setting: ${setting})`;
      return option;
    },
  };
}

/**
 * An option that was spelled otherwise once. A script may hold the old name, which is taken and not
 * shown. `kind`: how the old one is read, if not like the new one.
 */
export function formerly<T>(name: string, option: OptionKind<T>, kind: OptionKind<T> = option): OptionKind<T> {
  return { ...option, before: { name, kind } };
}

/** An option that a script may hold and the help does not show: another one says the same. */
export function hidden<T>(kind: OptionKind<T>): OptionKind<T> {
  return { ...kind, build: (name) => kind.build(name).hideHelp() };
}

/** An option that is there or not. */
export function flag(about: string): OptionKind<boolean> {
  return { fallback: false, build: (name) => new Option(`--${name}`, about) };
}

/** An option `--no-NAME` that takes away what is done without it. */
export function without(about: string): OptionKind<boolean> {
  return { fallback: true, build: (name) => new Option(`--no-${name}`, about) };
}

/** An option with a text. `value` names the text, as `<file>`. */
export function text(value: string, about: string): OptionKind<string | undefined> {
  return { fallback: undefined, build: (name) => new Option(`--${name} ${value}`, about) };
}

/** An option with a text that a command can't do without. */
export function neededText(value: string, about: string): OptionKind<string> {
  return { fallback: '', build: (name) => new Option(`--${name} ${value}`, about).makeOptionMandatory() };
}

/** An option that may be given several times. */
export function texts(value: string, about: string): OptionKind<string[]> {
  const collect = (one: string, before: string[] | undefined): string[] => [...(before ?? []), one];
  return { fallback: [], build: (name) => new Option(`--${name} ${value}`, about).argParser(collect) };
}

/** One of some words; undefined when it is left out. */
export function choice<const Word extends string>(
  value: string,
  about: string,
  words: readonly Word[],
): OptionKind<Word | undefined> {
  return { fallback: undefined, build: (name) => new Option(`--${name} ${value}`, about).choices(words) };
}

/** One of some words, with the one that counts when the option is left out. */
export function choiceOr<const Word extends string>(
  fallback: NoInfer<Word>,
  value: string,
  about: string,
  words: readonly Word[],
): OptionKind<Word> {
  return { fallback, build: (name) => new Option(`--${name} ${value}`, about).choices(words).default(fallback) };
}

/** One of some words that a command can't do without. */
export function neededChoice<const Word extends string>(
  value: string,
  about: string,
  words: readonly [Word, ...Word[]],
): OptionKind<Word> {
  return {
    fallback: words[0],
    build: (name) => new Option(`--${name} ${value}`, about).choices(words).makeOptionMandatory(),
  };
}

/** A number; undefined when it is left out. */
export function number(value: string, about: string, read: (text: string) => number): OptionKind<number | undefined> {
  return { fallback: undefined, build: (name) => new Option(`--${name} ${value}`, about).argParser(read) };
}

/** A number, with the one that counts when the option is left out. */
export function numberOr(
  fallback: number,
  value: string,
  about: string,
  read: (text: string) => number,
): OptionKind<number> {
  return { fallback, build: (name) => new Option(`--${name} ${value}`, about).argParser(read).default(fallback) };
}

// readers of numbers

export function wholeNumber(value: string): number {
  if (!/^\d+$/.test(value)) throw new InvalidArgumentError('It takes a whole number.');
  return Number(value);
}

/**
 * Returns a reader of whole numbers within bounds. `what` counts them, as `days`; it may be empty.
 */
export function wholeNumberIn(least: number, most: number, what = ''): (value: string) => number {
  return (value) => {
    const read = /^\d{1,9}$/.test(value) ? Number(value) : Number.NaN;
    if (read >= least && read <= most) return read;
    throw new InvalidArgumentError(
      `It takes a whole number${what === '' ? '' : ` of ${what}`} from ${least} to ${most}.`,
    );
  };
}

/** Reads a share: `0.95` or `95 %`. */
export function share(value: string): number {
  const match = /^\s*(\d+(?:\.\d*)?|\.\d+)\s*(%?)\s*$/.exec(value);
  const read = match === null ? Number.NaN : Number(match[1]) / (match[2] === '%' ? 100 : 1);
  if (read > 0 && read < 1) return read;
  throw new InvalidArgumentError('It takes a share between 0 and 1, such as 0.95 or 95%.');
}
