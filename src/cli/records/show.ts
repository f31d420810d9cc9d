import { readRecord } from '../../record/store/read-record.ts';
import { entryBudget } from '../../report/entry-budget.ts';
import { pictureLines } from '../../report/pictures/picture-lines.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { unreliableEntries } from '../../verify/unreliable-entries.ts';
import { conclusionLines } from '../../view/words/conclusion.ts';
import { entryLine } from '../../view/words/entry.ts';
import { summaryLines } from '../../view/words/summary.ts';
import { type Context, printJson } from '../program/context.ts';
import { verdictExits } from '../program/exit-codes.ts';
import { jobsFolderOf, recordPath } from '../program/locations.ts';
import type { ShowOptions } from './show-command.ts';

/** Stands behind a capture that is on record and worth nothing. */
const unreliableText = ' - NOT to be relied on: a proof of the probe around it failed';

/** `show`: tells what stands in a record, entry by entry, and what it comes to. */
export async function show(job: string, options: ShowOptions, { terminal }: Context): Promise<number> {
  const read = await readRecord(recordPath(job, jobsFolderOf(options.jobs, terminal)));
  const { verdict } = verifyWhole(read.bytes);
  const verified = verdict === 'holds';
  if (options.json)
    printJson(terminal, {
      path: read.path,
      whole: read.whole,
      verified,
      verdict,
      state: read.state,
      entries: read.entries,
    });
  else {
    if (!verified) terminal.out(`NOT VERIFIED (${verdict}): what follows is what stands in the file, and no more.`);
    let repairs = 0;
    const unreliable = unreliableEntries(read.state);
    for (const entry of read.entries) {
      if (entry.kind === 'repair') repairs += 1;
      const line = entryLine(entry, repairs > 0);
      if (line !== null)
        terminal.out(
          `${entry.at.slice(0, 19).replace('T', ' ')}  ${line}${unreliable.has(entry.n) ? unreliableText : ''}`,
        );
      if (options.budget) for (const part of entryBudget(entry)) terminal.out(`  ${part}`);
      if (entry.kind === 'concluded') {
        const titleOf = (id: string): string => read.state.checks[id]?.title ?? id;
        for (const told of conclusionLines(entry, titleOf, repairs > 0)) terminal.out(`  ${told}`);
      }
    }
    for (const line of summaryLines(read.state)) terminal.out(line);
    for (const line of pictureLines(read)) terminal.out(line);
  }
  if (!verified) terminal.say(`${read.path}: the record does not verify; \`ohmwright verify\` says where.`);
  return verdictExits[verdict];
}
