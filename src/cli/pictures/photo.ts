import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { photoToKeep } from '../../files/photo-to-keep.ts';
import { didYouMean } from '../../guide/file/near.ts';
import { asKept, keepPicture } from '../../record/pictures/kept-pictures.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { JobRecord } from '../../record/store/record.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJob } from '../places/named-jobs.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { toolName } from '../program/tool-name.ts';
import type { PhotoOptions } from './photo-command.ts';

/**
 * `photo`: adds a photo that was taken at a check to the record of an open job. The photo is kept
 * first, so that the record names none that is not there.
 *
 * @throws OhmwrightError `usage.photo`, `record.closed`, `record.locked`, and why photo or record
 *   can't be taken
 */
export async function photo(
  job: string,
  check: string,
  file: string,
  { jobs, shows = '' }: PhotoOptions,
  { terminal }: Context,
): Promise<number> {
  const path = await namedJob(job, jobsFolderOf(jobs, terminal), terminal);
  const known = Object.keys((await readRecord(path)).state.checks);
  if (!known.includes(check)) {
    throw new OhmwrightError(
      'usage.photo',
      `The guide of this job has no check '${check}'${didYouMean(check, known)}.`,
      {
        help: '`ohmwright show JOB` names the checks that were done.',
      },
    );
  }
  const content = await photoToKeep(file);
  const record = await JobRecord.resume(path, { tool: toolName });
  try {
    await keepPicture(record.path, content);
    await record.append({ kind: 'photo', check, picture: asKept(content), shows, by: 'option' });
  } finally {
    await record.close();
  }
  terminal.say(`photo: kept with check ${check} in ${record.path}`);
  return exitCodes.passed;
}
