import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { readForeignFileSync, readForeignText } from '../../files/read-file.ts';
import { parseRecord } from '../../record/chain/parse-record.ts';
import type { Succession } from '../../record/entries/succession-part.ts';
import { parseSuccession, publicKeyOfPem, readSuccession } from '../../record/signing/bench-key.ts';
import { type CalibrationContent, parseCalibrationText } from '../../record/store/calibration-file.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { checkChain } from '../../verify/chain-check.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { type Explanation, explainRecord } from '../../verify/explain/explain.ts';
import { verifyAmong } from '../../verify/folder/missing-records.ts';
import { type LabelHead, parseLabelCode } from '../../verify/label-code.ts';
import type { VerifyReport } from '../../verify/verify-report.ts';
import type { AmongRecords } from '../../verify/verify-series.ts';
import { benchKeyPath, jobsFolderOf } from '../places/locations.ts';
import { type NamedJobs, namedJobs } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { errorText } from '../program/error-text.ts';
import { exitCodes, verdictExits, worstExit } from '../program/exit-codes.ts';
import { type Printer, printLines } from '../program/printer.ts';
import { explainedLines } from './explained-lines.ts';
import type { VerifyCommandOptions } from './verify-command.ts';

/** `verify`: checks records and reports each departure; never repairs. */
export async function verify(words: string[], options: VerifyCommandOptions, { terminal }: Context): Promise<number> {
  if (options.chainOnly) return verifyChains(words, options, terminal);
  const given = options.key === undefined ? undefined : publicKeyFrom(options.key);
  const expectedKey = given?.publicKey;
  const successions = [...(given?.succession ?? []), ...readSuccession(benchKeyPath(terminal))];
  const label = options.label === undefined ? undefined : labelFrom(options.label);
  const calibrations = await Promise.all(options.calibration.map(calibrationFrom));
  let exitCode: number = exitCodes.passed;
  const reports: ({ file: string; ok: boolean; explanation?: Explanation } & Partial<VerifyReport>)[] = [];
  const among: AmongRecords[] = [];
  const named = await recordsIn(words, options, terminal);
  for (const file of named.unknown) {
    exitCode = worstExit([exitCode, exitCodes.record]);
    reports.push({ file, ok: false });
  }
  for (const file of named.paths) {
    const bytes = await bytesOf(file, terminal);
    if (bytes === null) {
      exitCode = worstExit([exitCode, exitCodes.record]);
      reports.push({ file, ok: false });
      continue;
    }
    const report = verifyWhole(bytes, { expectedKey, label, calibrations, successions });
    const explanation = options.explain ? explainRecord(bytes, report) : null;
    exitCode = worstExit([exitCode, verdictExits[report.verdict]]);
    reports.push({ file, ...report, ...(explanation === null ? {} : { explanation }) });
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
    if (explanation !== null) for (const line of explainedLines(explanation)) terminal.out(`  ${line}`);
  }
  // who is handed some files of a bench can't be told from one who hides the others: only a folder
  // is to be whole
  const found = (await verifyAmong(among, benchKeyPath(terminal))).filter(
    ({ missing }) => named.isWhole || missing === undefined,
  );
  if (found.some(({ isDeparture }) => isDeparture)) exitCode = worstExit([exitCode, exitCodes.record]);
  if (options.json) {
    const beside = (file: string) => found.filter(({ files: where }) => where.includes(file));
    printJson(
      terminal,
      reports.map((report) => ({
        ...toldReport(report),
        beside: beside(report.file).map((finding) => ({ ...finding, records: finding.files, hole: finding.missing })),
      })),
    );
  } else for (const { files: where, code, what } of found) terminal.out(`${where.join(', ')}: ${what} (${code})`);
  return exitCode;
}

/**
 * The records that are meant. A word that means none is said, and does not keep the others from
 * being looked at.
 */
async function recordsIn(
  words: readonly string[],
  options: VerifyCommandOptions,
  terminal: Printer,
): Promise<NamedJobs & { unknown: string[] }> {
  const folder = jobsFolderOf(options.jobs, terminal);
  const found = { paths: [] as string[], isWhole: false, unknown: [] as string[] };
  for (const word of words.length === 0 ? [folder] : words) {
    const named = await unlessUnread(namedJobs([word], folder, terminal), terminal);
    if (named === null) found.unknown.push(word);
    else {
      found.paths.push(...named.paths.filter((path) => !found.paths.includes(path)));
      found.isWhole ||= named.isWhole;
    }
  }
  if (found.paths.length + found.unknown.length > 0) return found;
  throw new OhmwrightError(
    'record.missing',
    `there is no job record in ${words.length === 0 ? folder : words.join(', ')}`,
    {
      help: 'Name another folder, or a record.',
    },
  );
}

/** Older names stand beside those that every command uses. */
function toldReport<R extends { file: string; ok: boolean; entries?: number }>(report: R) {
  const { file, ok, entries } = report;
  return { record: file, verified: ok, ...report, ...(entries !== undefined && { entryCount: entries }) };
}

async function verifyChains(words: string[], options: VerifyCommandOptions, terminal: Printer): Promise<number> {
  const named = await recordsIn(words, options, terminal);
  const reports: ({ file: string; ok: boolean } & Partial<ReturnType<typeof checkChain>>)[] = [];
  for (const file of named.unknown) reports.push({ file, ok: false });
  for (const file of named.paths) {
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
  if (options.json)
    printJson(
      terminal,
      reports.map((report) => ({ ...report, record: report.file, chainHolds: report.ok })),
    );
  return reports.every(({ ok }) => ok) ? exitCodes.passed : exitCodes.record;
}

/** The bytes of a record; null, and a sentence, for one that can't be read. */
async function bytesOf(file: string, terminal: Printer) {
  return (await unlessUnread(readRecord(file), terminal))?.bytes ?? null;
}

/**
 * What can be read; null, and a sentence, for what can't: the others are looked at all the same.
 */
async function unlessUnread<T>(reading: Promise<T>, terminal: Printer): Promise<T | null> {
  try {
    return await reading;
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

/** What a calibration file holds. */
async function calibrationFrom(path: string): Promise<CalibrationContent> {
  const parsed = parseCalibrationText(await readForeignText(path, 'calibration'));
  if (parsed.ok) return parsed.content;
  throw new OhmwrightError('usage.calibration', `--calibration ${path}: ${parsed.why}.`, {
    help: 'Give the file that this host, or the bench, keeps of the probe.',
  });
}

/**
 * A public key as base64, or a file that holds it so, as PEM, or as `key --json` prints it, with the
 * keys before it.
 */
function publicKeyFrom(given: string): { publicKey: string; succession: Succession[] } {
  let text = given;
  let what = 'there is no Ed25519 public key in it';
  try {
    if (!isBase64Key(given)) text = readForeignFileSync(given, 'key').bytes.toString('utf8').trim();
  } catch {
    what = 'that is neither a key nor a file that can be read';
  }
  const told = keyFromJson(text);
  if (told !== null) return told;
  const key = isBase64Key(text) ? text : publicKeyOfPem(text);
  if (key !== null) return { publicKey: key, succession: [] };
  throw new OhmwrightError('usage.key', `--key ${given === '' ? '(empty)' : given}: ${what}.`, {
    help: 'Give the public key that `ohmwright key` prints on that bench, or a file with it.',
  });
}

function keyFromJson(text: string): { publicKey: string; succession: Succession[] } | null {
  if (!text.startsWith('{')) return null;
  try {
    const { publicKey, succession } = JSON.parse(text) as { publicKey?: unknown; succession?: unknown };
    const statements = parseSuccession(JSON.stringify(succession ?? []));
    return typeof publicKey === 'string' && isBase64Key(publicKey) && statements !== null
      ? { publicKey, succession: statements }
      : null;
  } catch {
    return null;
  }
}

function isBase64Key(text: string): boolean {
  return /^[A-Za-z0-9+/]{43}=$/.test(text);
}
