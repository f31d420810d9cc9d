import type { Guide } from '../../guide/types.ts';
import { sha256 } from '../../record/chain/sha256.ts';
import { type FaceMaker, runJob } from '../job/job-session.ts';
import { openJob, resumeJob } from '../job/open-job.ts';
import type { Context } from '../program/context.ts';
import { holdProbe } from '../program/held-probe.ts';
import type { RunOptions } from '../program/program-options.ts';
import { cautionsAccepted } from '../settings/cautions-accepted.ts';

/** A guide that was made here, and whose checks are only read: nothing is concluded from them. */
export interface MadeForReading {
  guide: Guide;
  text: string;
}

/**
 * Has every check of such a guide done in its order, in a job of its own or in the one that is gone
 * on with; returns the record's path, and whether the job was left open.
 *
 * @throws OhmwrightError as a job's start
 */
export async function measureOnly(
  { guide, text }: MadeForReading,
  options: RunOptions,
  context: Context,
  face?: FaceMaker,
): Promise<{ path: string; isOpen: boolean }> {
  const held = await holdProbe(options, context);
  const atProbe = { ...options, order: 'guide' as const, port: held?.port ?? options.port, held };
  try {
    const file = { guide, text, sha256: sha256(text), warnings: [], pictures: [] };
    const { record } =
      options.resume === undefined
        ? await openJob(file, atProbe, context)
        : await resumeJob(options.resume, atProbe, context);
    context.terminal.say(`record: ${record.path}`);
    try {
      const accepted = await cautionsAccepted(guide, record.state.opened?.technician, atProbe, context.terminal);
      const state = await runJob(guide, record, { ...atProbe, accepted, concludes: false }, context, face);
      return { path: record.path, isOpen: state.job.closed === null };
    } finally {
      await record.close();
    }
  } finally {
    await held?.release();
  }
}
