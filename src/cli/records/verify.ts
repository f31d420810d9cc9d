import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { isFolder } from '../../files/folder.ts';
import { readForeignFileSync } from '../../files/read-file.ts';
import { parseRecord } from '../../record/chain/parse-record.ts';
import { publicKeyOfPem } from '../../record/signing/bench-key.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { checkChain } from '../../verify/chain-check.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { recordsOfFolder } from '../../verify/folder/newest-records.ts';
import { type LabelHead, parseLabelCode } from '../../verify/label-code.ts';
import type { VerifyReport } from '../../verify/verify-report.ts';
import { type AmongRecords, verifySeries } from '../../verify/verify-series.ts';
import { type Context, printJson } from '../program/context.ts';
import { errorText } from '../program/error-text.ts';
import { exitCodes, verdictExits, worstExit } from '../program/exit-codes.ts';
import { type Printer, printLines } from '../program/printer.ts';
import type { VerifyCommandOptions } from './verify-command.ts';

/** `verify`: checks records and reports each departure; never repairs. */
export async function verify(files: string[], options: VerifyCommandOptions, { terminal }: Context): Promise<number> {
  if (options.chainOnly) return verifyChains(files, options, terminal);
  const expectedKey = options.key === undefined ? undefined : publicKeyFrom(options.key);
  const label = options.label === undefined ? undefined : labelFrom(options.label);
  let exitCode: number = exitCodes.passed;
  const reports: ({ file: string; ok: boolean } & Partial<VerifyReport>)[] = [];
  const among: AmongRecords[] = [];
  const named = await recordsIn(files);
  for (const file of named.records) {
    const bytes = await bytesOf(file, terminal);
    if (bytes === null) {
      exitCode = worstExit([exitCode, exitCodes.record]);
      reports.push({ file, ok: false });
      continue;
    }
    const report = verifyWhole(bytes, { expectedKey, label });
    exitCode = worstExit([exitCode, verdictExits[report.verdict]]);
    reports.push({ file, ...report });
    among.push({ file, lines: parseRecord(bytes).lines });
    if (options.json) continue;
    const { captures, bridges, levels, holds, derived } = report.counters;
    terminal.out(
      `${file}: ${verdictText(report)}; ${report.entries} entries, ${captures + bridges + levels + holds} captures, ${derived} outcomes derived again`,
    );
    terminal.out(`  ${signatureText(report, expectedKey !== undefined)}`);
    if (report.entries === 0 && report.departures.length > 1) {
      terminal.out(`  this is no job record: none of its ${report.counters.lines} lines is an entry (record.empty)`);
      continue;
    }
    for (const departure of report.departures)
      terminal.out(`  line ${departure.line}: ${departure.what} (${departure.code})`);
    for (const note of report.notes) terminal.out(`  note, line ${note.line}: ${note.what}`);
  }
  // who is handed some files of a bench can't be told from one who hides the others: only a folder
  // is to be whole
  const found = verifySeries(among).filter(({ code }) => named.isWhole || code !== 'series.hole');
  if (found.some(({ isDeparture }) => isDeparture)) exitCode = worstExit([exitCode, exitCodes.record]);
  if (options.json) {
    const beside = (file: string) => found.filter(({ files: where }) => where.includes(file));
    printJson(
      terminal,
      reports.map((report) => ({ ...report, beside: beside(report.file) })),
    );
  } else for (const { files: where, code, what } of found) terminal.out(`${where.join(', ')}: ${what} (${code})`);
  return exitCode;
}

/**
 * The records that are meant: those named, and all in the folders named. Where a folder is named,
 * none is to be missing.
 */
async function recordsIn(files: readonly string[]): Promise<{ records: string[]; isWhole: boolean }> {
  const each = files.map(async (file) => {
    const isWhole = await isFolder(file);
    return { isWhole, records: isWhole ? await recordsOfFolder(file) : [file] };
  });
  const all = await Promise.all(each);
  return { records: all.flatMap(({ records }) => records), isWhole: all.some(({ isWhole }) => isWhole) };
}

async function verifyChains(files: string[], options: VerifyCommandOptions, terminal: Printer): Promise<number> {
  const reports = [];
  for (const file of files) {
    const bytes = await bytesOf(file, terminal);
    if (bytes === null) {
      reports.push({ file, ok: false });
      continue;
    }
    const report = checkChain(bytes);
    reports.push({ file, ...report });
    const bad = report.badLine === null ? '' : `; line ${report.badLine} does not hold`;
    if (!options.json)
      terminal.out(
        `${file}: chain ${report.ok ? 'holds' : 'does NOT hold'}; ${report.lines} lines${bad}; head ${report.head}`,
      );
  }
  if (options.json) printJson(terminal, reports);
  return reports.every(({ ok }) => ok) ? exitCodes.passed : exitCodes.record;
}

/**
 * The bytes of a record; null, and a sentence, for one that can't be read: the others are looked at
 * all the same.
 */
async function bytesOf(file: string, terminal: Printer) {
  try {
    return (await readRecord(file)).bytes;
  } catch (error) {
    if (!(error instanceof OhmwrightError)) throw error;
    printLines(terminal.say, errorText(error).text);
    return null;
  }
}

function verdictText({ verdict, rules }: VerifyReport): string {
  const by = rules.length === 0 ? '' : ` by the rules ${rules.join(', then ')}`;
  switch (verdict) {
    case 'holds':
      return `verified${by}`;
    case 'departs':
      return 'NOT verified';
    case 'not-verifiable':
      return 'NOT VERIFIABLE by this version';
    case 'not-signed':
      return 'NOT SIGNED, where a signature is expected';
  }
}

function signatureText({ ok, signature }: VerifyReport, keyGiven: boolean): string {
  switch (signature.state) {
    case 'none':
      return 'not signed';
    case 'holds':
      if (!ok) return `its closing entry is signed by ${signature.fingerprint}, but the record does not hold`;
      return keyGiven
        ? `signed by the key given, ${signature.fingerprint}`
        : `signed by ${signature.fingerprint}; whose key that is, the record cannot say (--key checks it)`;
    case 'broken':
      return 'its signature does NOT hold';
    case 'other-key':
      return `signed by another key, ${signature.fingerprint}`;
  }
}

function labelFrom(given: string): LabelHead {
  const label = parseLabelCode(given);
  if (label !== null) return label;
  throw new OhmwrightError('usage.label', '--label: that is not what the code on a label says.', {
    help: "Give the code's text as it was read, in quotation marks: ohmwright JOB RESULT DIGEST COUNT.",
  });
}

/** A public key as base64, or a file that holds it so or as PEM. */
function publicKeyFrom(given: string): string {
  let text = given;
  let what = 'there is no Ed25519 public key in it';
  try {
    if (!isBase64Key(given)) text = readForeignFileSync(given, 'key').bytes.toString('utf8').trim();
  } catch {
    what = 'that is neither a key nor a file that can be read';
  }
  const key = isBase64Key(text) ? text : publicKeyOfPem(text);
  if (key !== null) return key;
  throw new OhmwrightError('usage.key', `--key ${given === '' ? '(empty)' : given}: ${what}.`, {
    help: 'Give the public key that `ohmwright key` prints on that bench, or a file with it.',
  });
}

function isBase64Key(text: string): boolean {
  return /^[A-Za-z0-9+/]{43}=$/.test(text);
}
