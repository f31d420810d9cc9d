import { stat } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { Terminal } from '../../faces/screen/terminal/terminal.ts';
import { didYouMean } from '../../guide/file/near.ts';
import { benchSecret } from '../../record/signing/bench-key.ts';
import { recordEnding } from '../../record/store/job-name.ts';
import { diskError } from '../../record/store/record-error.ts';
import { type JobSummary, listJobs, summaryOfRecord } from '../../verify/folder/list-jobs.ts';
import { recordsOfFolder } from '../../verify/folder/newest-records.ts';
import { benchKeyPath } from './locations.ts';

/** The job with the latest entry. A file of that name is `./last`. */
const latest = 'last';

/** Where a person's words are looked up. */
export type Surroundings = Pick<Terminal, 'env' | 'cwd' | 'now'>;

/** The records that a person means, each once. */
export interface NamedJobs {
  paths: string[];
  /** A folder is among the words, or none was said: nothing of it is to be missing. */
  isWhole: boolean;
}

/**
 * Returns the records that words mean; no word means all of the jobs folder. A word is a path of a
 * record or of a folder of records, the name of a job in the jobs folder, its ticket or the serial
 * number of its device, or `last`. A ticket or a serial number may stand for several jobs.
 *
 * @throws OhmwrightError `record.missing`, `record.disk`
 */
export async function namedJobs(words: readonly string[], folder: string, at: Surroundings): Promise<NamedJobs> {
  const found: NamedJobs = { paths: [], isWhole: words.length === 0 };
  for (const word of words.length === 0 ? [folder] : words) {
    const { paths, isFolder } = await jobsNamed(word, folder, at);
    found.isWhole ||= isFolder;
    found.paths.push(...paths);
  }
  const seen = new Set<string>();
  found.paths = found.paths.filter((path) => !seen.has(resolve(path)) && seen.add(resolve(path)));
  return found;
}

/**
 * Returns the one record that a word means.
 *
 * @throws OhmwrightError `record.missing`, `record.disk`; `record.several` when it may be more
 */
export async function namedJob(word: string, folder: string, at: Surroundings): Promise<string> {
  const { paths } = await jobsNamed(word, folder, at);
  const [only, ...others] = paths;
  if (only === undefined) throw missing(`there is no job record in ${word}`, 'Name another folder, or a record in it.');
  if (others.length === 0) return only;
  const some = paths.slice(0, 5).join(', ');
  throw new OhmwrightError(
    'record.several',
    `'${word}' means ${paths.length} jobs: ${some}${others.length > 4 ? ', ...' : ''}`,
    {
      help: 'Name one of them; `ohmwright jobs` tells them apart.',
    },
  );
}

/**
 * Returns the records that one word means, as {@link namedJobs} does.
 *
 * @throws OhmwrightError `record.missing`, `record.disk`
 */
async function jobsNamed(
  word: string,
  folder: string,
  at: Surroundings,
): Promise<{ paths: string[]; isFolder: boolean }> {
  if (word === latest) return { paths: [latestOf(await listedJobs(folder, at), folder)], isFolder: false };
  if (word !== '') {
    const inFolder = join(folder, word.endsWith(recordEnding) ? word : `${word}${recordEnding}`);
    for (const path of [word, inFolder]) {
      const kind = await kindOf(path);
      if (kind === 'folder') return { paths: await recordsOfFolder(path), isFolder: true };
      if (kind === 'file') return { paths: [path], isFolder: false };
    }
  }
  if (word === folder) throw noFolder(folder);
  const jobs = (await kindOf(folder)) === 'folder' ? await listedJobs(folder, at) : [];
  const paths = jobs.filter((job) => isNumberOf(job, word)).map(({ path }) => path);
  if (paths.length > 0) return { paths, isFolder: false };
  const names = jobs.flatMap(({ job, ticket, device }) => [job, ticket, device?.serial].filter((one) => one != null));
  throw missing(
    `there is no record, folder, job, ticket or serial number '${word}'${didYouMean(word, names)}`,
    `It was looked for here and in ${folder}; \`ohmwright jobs\` lists the jobs.`,
  );
}

/**
 * Returns a summary of every job of the jobs folder, latest entry first.
 *
 * @throws OhmwrightError `record.missing` when there is no such folder, `record.disk`
 */
async function listedJobs(folder: string, at: Surroundings): Promise<JobSummary[]> {
  if ((await kindOf(folder)) === null) throw noFolder(folder);
  return await listJobs(folder, at.now().getTime(), benchSecret(benchKeyPath(at)));
}

/**
 * Returns a summary of each job that words mean, latest entry first, as {@link namedJobs} finds them.
 *
 * @throws OhmwrightError `record.missing`, `record.disk`
 */
export async function summariesOf(words: readonly string[], folder: string, at: Surroundings): Promise<JobSummary[]> {
  const found = new Map<string, JobSummary>();
  for (const word of words.length === 0 ? [folder] : words) {
    const { paths, isFolder } = await jobsNamed(word, folder, at);
    const [first] = paths;
    const inOne = isFolder && first !== undefined ? await listedJobs(dirname(first), at) : [];
    for (const job of inOne) found.set(resolve(job.path), job);
    for (const path of paths) if (!found.has(resolve(path))) found.set(resolve(path), await summaryOfRecord(path));
  }
  return [...found.values()].sort((a, b) => (b.lastAt ?? '').localeCompare(a.lastAt ?? ''));
}

function latestOf(jobs: readonly JobSummary[], folder: string): string {
  const [first] = jobs.filter(({ lastAt }) => lastAt !== null);
  if (first !== undefined) return first.path;
  throw missing(`there is no job in ${folder} that could be the last`, 'Name another folder with --jobs.');
}

function isNumberOf({ ticket, device }: JobSummary, word: string): boolean {
  const asked = word.toLowerCase();
  return [ticket, device?.serial].some((number) => number != null && number !== '' && number.toLowerCase() === asked);
}

async function kindOf(path: string): Promise<'file' | 'folder' | null> {
  try {
    return (await stat(path)).isDirectory() ? 'folder' : 'file';
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT' || code === 'ENOTDIR' || code === 'ENAMETOOLONG' || code === 'ERR_INVALID_ARG_VALUE')
      return null;
    throw diskError('read', path, error);
  }
}

function noFolder(folder: string): OhmwrightError {
  return missing(
    `there is no folder ${folder}`,
    'Check the name, or name another one with --jobs; the first job that is opened makes it.',
  );
}

function missing(message: string, help: string): OhmwrightError {
  return new OhmwrightError('record.missing', message, { help });
}
