import { basename } from 'node:path';
import type { Argument, Command, RootCommand } from '@bomb.sh/tab';
import { parseGuide } from '../../checks/guides.ts';
import { readForeignText } from '../../files/read-file.ts';
import { parseFault } from '../../guide/circuit/faults.ts';
import type { Guide } from '../../guide/types.ts';
import { recordEnding } from '../../record/store/job-name.ts';
import { recordsOfFolder } from '../../verify/folder/newest-records.ts';
import { jobsFolderOf } from '../places/locations.ts';
import type { Printer } from '../program/printer.ts';
import { loadSettings } from '../settings/load-settings.ts';
import { settingNames } from '../settings/setting-table.ts';

/** Words that a shell offers beside commands, options and files. */
interface OfferedWords {
  jobs: readonly string[];
  checks: readonly string[];
  faults: readonly string[];
}

/** Faults without a value, as they are typed behind a link. */
const faultModes = ['open', 'film', 'weak', 'intermittent', 'stuck', 'leaky', 'welded'];

/**
 * Returns what may be offered for words typed so far: names of jobs in the jobs folder, and check
 * ids and faults of the guide among the words. What can't be read is not offered.
 */
export async function offeredWords(words: readonly string[], terminal: Printer): Promise<OfferedWords> {
  const settings = await loadSettings(terminal).catch(() => null);
  const paths = await recordsOfFolder(jobsFolderOf(settings?.get('jobs'), terminal)).catch(() => []);
  const guide = await guideAmong(words);
  return {
    jobs: ['last', ...paths.map((path) => basename(path, recordEnding)).reverse()],
    checks: guide?.checks.map(({ id }) => id) ?? [],
    faults: guide === null ? [] : faultsOfGuide(guide),
  };
}

async function guideAmong(words: readonly string[]): Promise<Guide | null> {
  const file = words.find((word) => /\.ya?ml$/.test(word));
  if (file === undefined) return null;
  const text = await readForeignText(file, 'guide').catch(() => '');
  const parsed = parseGuide(text, file);
  return parsed.ok ? parsed.guide : null;
}

function faultsOfGuide(guide: Guide): string[] {
  const all = guide.links.flatMap(({ id }) => faultModes.map((mode) => `${id}=${mode}`));
  return all.filter((text) => parseFault(text, guide).ok);
}

/** Has a shell's completion offer words where they are wanted. */
export function offerWords(root: RootCommand, { jobs, checks, faults }: OfferedWords): void {
  const offer = (words: readonly string[]) => (complete: (value: string, about: string) => void) => {
    for (const word of words) complete(word, '');
  };
  for (const command of root.commands.values()) {
    for (const name of ['jobs', 'job']) offerTo(command, name, offer(jobs));
    offerTo(command, 'key', offer(settingNames));
    for (const [name, words] of Object.entries({ check: checks, skip: checks, fault: faults })) {
      const option = command.options.get(name);
      if (option !== undefined) option.handler = offer(words);
    }
    for (const name of ['reading', 'observed']) {
      const option = command.options.get(name);
      if (option !== undefined) option.handler = offer(checks.map((id) => `${id}=`));
    }
  }
}

function offerTo(command: Command, name: string, handler: NonNullable<Argument['handler']>): void {
  const argument = command.arguments.get(name);
  if (argument !== undefined) argument.handler = handler;
}
