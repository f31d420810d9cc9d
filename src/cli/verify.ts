import { readRecord } from '../job/read-record.ts';
import { verifyRecord } from '../job/verify.ts';
import { type Context, printJson } from './context.ts';
import { exitCodes } from './exit-codes.ts';

/** `verify`: checks records and reports each departure; never repairs. */
export async function verify(files: string[], options: { json?: boolean }, { terminal }: Context): Promise<number> {
  let good = true;
  const reports = [];
  for (const file of files) {
    const report = verifyRecord((await readRecord(file)).bytes);
    good &&= report.ok;
    reports.push({ file, ...report });
    if (options.json === true) continue;
    const { captures, bridges, levels, holds, derived } = report.counters;
    terminal.out(
      `${file}: ${report.ok ? 'verified' : 'NOT verified'}; ${report.entries} entries, ${captures + bridges + levels + holds} captures, ${derived} outcomes derived again`,
    );
    for (const departure of report.departures)
      terminal.out(`  line ${departure.line}: ${departure.what} (${departure.code})`);
    for (const note of report.notes) terminal.out(`  note, line ${note.line}: ${note.what}`);
  }
  if (options.json === true) printJson(terminal, reports);
  return good ? exitCodes.passed : exitCodes.record;
}
