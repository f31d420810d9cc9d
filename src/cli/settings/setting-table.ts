/** The file that a setting may stand in: of the person, of the shop, or either. */
export type SettingFile = 'user' | 'shop';

/** One setting: how it is written, where, and what counts without it. */
export interface SettingKind<T> {
  about: string;
  /** What it takes, in words, as `one of dark, light`. */
  takes: string;
  files: readonly SettingFile[];
  /** What counts when nobody says; undefined: it is decided where it is used. */
  fallback: T | undefined;
  /** What counts when nobody says, in words. */
  otherwise: string;
  /** It is a path, and one that is not absolute is meant from the folder of its file. */
  isPath?: boolean;
  /** Returns the value of a text; null for a text that it does not take. */
  read(text: string): T | null;
}

const either = ['user', 'shop'] as const;
const personal = ['user'] as const;
const longestText = 500;

/** A text in one line. */
function line(about: string, otherwise: string, files: readonly SettingFile[]): SettingKind<string> {
  const read = (text: string) =>
    text.trim() === '' || text.length > longestText || /\p{Cc}/u.test(text) ? null : text.trim();
  return { about, takes: 'a text in one line', files, fallback: undefined, otherwise, read };
}

/** A text that may have several lines. */
function lines(about: string, otherwise: string, files: readonly SettingFile[]): SettingKind<string> {
  const read = (text: string) => {
    const told = text.trim();
    return told === '' || text.length > longestText || /[^\P{Cc}\n]/u.test(told) ? null : told;
  };
  return { about, takes: 'a text', files, fallback: undefined, otherwise, read };
}

function folder(about: string, otherwise: string, files: readonly SettingFile[]): SettingKind<string> {
  const read = (text: string) => (text === '' || text.includes('\0') ? null : text);
  return { about, takes: 'a folder', files, fallback: undefined, otherwise, isPath: true, read };
}

function word<const Word extends string>(
  about: string,
  words: readonly Word[],
  files: readonly SettingFile[],
  { fallback, otherwise = fallback ?? '' }: { fallback?: NoInfer<Word>; otherwise?: string },
): SettingKind<Word> {
  const read = (text: string) => words.find((one) => one === text) ?? null;
  return {
    about,
    takes: words.length === 1 ? words[0]! : `one of ${words.join(', ')}`,
    files,
    fallback,
    otherwise,
    read,
  };
}

function yesOrNo(about: string, files: readonly SettingFile[]): SettingKind<boolean> {
  const read = (text: string) => (/^(yes|true|on)$/i.test(text) ? true : /^(no|false|off)$/i.test(text) ? false : null);
  return { about, takes: 'yes or no', files, fallback: false, otherwise: 'no', read };
}

/**
 * Every setting, in the order in which they are listed: the one table of what a configuration may
 * hold. A shop's file lies in the jobs folder, so it can't say where that is.
 */
export const settingTable = {
  jobs: folder('folder of the job records', 'ohmwright-jobs in the folder in which the program is started', personal),
  calibrations: folder(
    "folder of this host's calibrations",
    'ohmwright-calibrations in the folder in which the program is started',
    personal,
  ),
  ledger: folder('folder of the ledger', 'ohmwright-ledger in the folder in which the program is started', personal),
  port: line('serial port of the probe', 'the port that the only probe is on', personal),
  bench: line('name of this bench', 'none', personal),
  technician: line('who is at the bench', 'it is asked once a day', personal),
  order: word(
    'order of the checks: what tells most per minute, or as the guide has them',
    ['information', 'guide'],
    either,
    { fallback: 'information' },
  ),
  cautions: word(
    'how often a person acknowledges the same caution: in every job, or once a day',
    ['job', 'day'],
    either,
    { fallback: 'job' },
  ),
  background: word("the terminal's background", ['dark', 'light'], personal, { otherwise: 'what the terminal says' }),
  bell: yesOrNo("the terminal's bell with every outcome", personal),
  language: word('language of screen and papers', ['en'], either, { fallback: 'en' }),
  currency: line('currency of prices in a new guide', 'EUR', either),
  page: yesOrNo('sessions are also shown on a page in the browser of this computer', personal),
  paper: word('paper that reports are printed on', ['A4', 'letter'], either, { fallback: 'A4' }),
  name: line("the shop's name, for the papers", 'none', either),
  address: lines("the shop's address, for the papers", 'none', either),
} satisfies Record<string, SettingKind<unknown>>;

export type SettingName = keyof typeof settingTable;
export type SettingValue<Name extends SettingName> =
  (typeof settingTable)[Name] extends SettingKind<infer T> ? T : never;

export const settingNames = Object.keys(settingTable) as SettingName[];

/** Returns the variable of the environment that says a setting. */
export function variableOf(name: SettingName): string {
  return `OHMWRIGHT_${name.toUpperCase()}`;
}

export function isSetting(name: string): name is SettingName {
  return Object.hasOwn(settingTable, name);
}
