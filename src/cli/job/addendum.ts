import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { Context } from '../program/context.ts';
import type { AddendumOptions } from '../program/program-options.ts';
import { addToJob, signingKeyOf } from './open-job.ts';
import { tellEnd } from './run.ts';
import { goOn } from './start.ts';

/**
 * `addendum`: adds to a closed job: a part that came later is fitted and tested, or the device came
 * back. The record is closed and signed once more.
 */
export async function addendum(job: string, options: AddendumOptions, context: Context): Promise<number> {
  if (options.why.trim() === '') {
    throw new OhmwrightError('usage.why', '--why says nothing.', { help: 'Say why the job is added to.' });
  }
  if (options.checks) return goOn(() => addToJob(job, options, context), options, context);
  const key = signingKeyOf(options, context.terminal);
  const { record } = await addToJob(job, options, context);
  await record.closeJob('added to, nothing was measured', { key }).finally(() => record.close());
  return tellEnd({ job: record.state, phase: 'closed' }, record.path, options, context);
}
