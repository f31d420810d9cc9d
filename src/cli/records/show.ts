import type { LocalClock } from '../../ports/local-clock.ts';
import { customerOf } from '../../record/entries/personal-data.ts';
import { type ReadResult, readRecord } from '../../record/store/read-record.ts';
import { entryBudget } from '../../report/entry-budget.ts';
import { pictureLines } from '../../report/pictures/picture-lines.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { unreliableEntries } from '../../verify/unreliable-entries.ts';
import { conclusionLines } from '../../view/words/conclusion.ts';
import { entryLine } from '../../view/words/entry.ts';
import { summaryLines } from '../../view/words/summary.ts';
import { localClock } from '../places/local-time.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJobs } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { verdictExits, worstExit } from '../program/exit-codes.ts';
import type { Printer } from '../program/printer.ts';
import type { ShowOptions } from './show-command.ts';

/** Stands behind a capture that is on record and worth nothing. */
const unreliableText = ' - NOT to be relied on: a proof of the probe around it failed';

/** `show`: tells what stands in records, entry by entry, and what each comes to. */
export async function show(named: string[], options: ShowOptions, { terminal }: Context): Promise<number> {
  const { paths } = await namedJobs(named, jobsFolderOf(options.jobs, terminal), terminal);
  const exits: number[] = [];
  for (const path of paths) exits.push(await showRecord(path, options, terminal));
  return worstExit(exits);
}

async function showRecord(path: string, options: ShowOptions, terminal: Printer): Promise<number> {
  const read = await readRecord(path);
  const { verdict } = verifyWhole(read.bytes);
  const verified = verdict === 'holds';
  if (options.json)
    printJson(terminal, {
      record: read.path,
      path: read.path,
      whole: read.whole,
      verified,
      verdict,
      state: read.state,
      entries: read.entries,
    });
  else {
    const clock = localClock(terminal);
    for (const line of headLines(read, clock)) terminal.out(line);
    if (!verified) terminal.out(`NOT VERIFIED (${verdict}): what follows is what stands in the file, and no more.`);
    let repairs = 0;
    const unreliable = unreliableEntries(read.state);
    for (const entry of read.entries) {
      if (entry.kind === 'repair') repairs += 1;
      if (entry.kind === 'addendum' && entry.what === 'returned') repairs = 0;
      const line = entryLine(entry, repairs > 0);
      if (line !== null)
        terminal.out(`${clock.time(entry.at)}  ${line}${unreliable.has(entry.n) ? unreliableText : ''}`);
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

/** What a job is known by; the customer stands in the record only until they are taken out of it. */
function headLines({ path, parsed, state }: ReadResult, { zone }: LocalClock): string[] {
  const { opened } = state;
  const customer = customerOf(parsed.lines.find(({ entry }) => entry.kind === 'customer')?.apart ?? {});
  const told: [string, string | undefined][] = [
    ['record', path],
    ['ticket', opened?.ticket],
    ['serial number', opened?.device.serial],
    ['symptom', opened?.symptom],
    ['technician', opened?.technician],
    ['customer', customer.name],
    ['contact', customer.contact],
    ['times', `by the clock here (${zone}); the record holds UTC`],
  ];
  return told.flatMap(([name, text]) => (text === undefined || text === '' ? [] : [`${`${name}:`.padEnd(15)}${text}`]));
}
