import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { findProbes } from '../../link/probe/find-probes.ts';
import { listPorts } from '../../link/serial/ports.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import { type PastProof, proofsIn } from '../../record/state/proof-history.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJobs } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { HealthOptions } from './health-command.ts';
import { healthLines } from './health-lines.ts';
import { healthSeries, latestOfEach } from './health-series.ts';

/**
 * `health`: charts the proofs of probes over time from job records; exit code 1 when one drifts, 3
 * when there are too few to say.
 */
export async function health(named: string[], options: HealthOptions, { terminal, signal }: Context): Promise<number> {
  const folder = jobsFolderOf(options.jobs, terminal);
  const wanted = options.port === undefined ? (options.probe ?? null) : await serialAt(options.port, signal);
  const { paths } = await namedJobs(named, folder, terminal);
  const proofs: PastProof[] = [];
  const notes: string[] = [];
  const seen = new Map<string, string>();
  for (const path of paths) {
    signal.throwIfAborted();
    const { entries, whole, identity } = await readRecord(path);
    const copied = seen.get(identity ?? '');
    if (copied !== undefined) {
      notes.push(`${path}: left out, it is a copy of ${copied}`);
      continue;
    }
    if (identity !== null) seen.set(identity, path);
    if (!whole) notes.push(`${path}: the record is not whole; what is good in it is taken`);
    proofs.push(...proofsIn(entries));
  }
  const series = healthSeries(proofs, options).filter(({ probe }) => wanted === null || isSerial(probe, wanted));
  if (options.json) {
    const data = series.map(({ proofs: list, ...rest }) => ({
      ...rest,
      calibrationId: rest.calibration,
      proofs: list.map(({ calibration: _, ...proof }) => proof),
    }));
    printJson(terminal, {
      lambda: options.lambda,
      deviations: options.deviations,
      // the name that it had before
      width: options.deviations,
      baseline: options.baseline,
      series: data,
      notes,
    });
  } else {
    for (const note of notes) terminal.say(note);
    for (const each of series) for (const line of healthLines(each)) terminal.out(line);
  }
  if (series.length === 0) {
    const whose = wanted === null ? '' : ` of probe ${wanted}`;
    terminal.say(`There is no proof${whose} in ${named.length > 0 ? 'these records' : folder}.`);
    return exitCodes.inconclusive;
  }
  const latest = latestOfEach(series);
  if (latest.some(({ health: found }) => found.state === 'drifting')) return exitCodes.failed;
  return latest.some(({ health: found }) => found.state === 'few') ? exitCodes.inconclusive : exitCodes.passed;
}

/** Serial numbers are typed with or without the zeros in front. */
function isSerial(serial: string, typed: string): boolean {
  const bare = (text: string): string =>
    text
      .trim()
      .toUpperCase()
      .replace(/^0+(?=.)/, '');
  return bare(serial) === bare(typed);
}

async function serialAt(path: string, signal: AbortSignal): Promise<string> {
  if (path.startsWith('sim:')) {
    throw new OhmwrightError('usage.health', 'the emulated probe keeps no history of its own', {
      help: 'name its serial number as the records have it, with --probe',
    });
  }
  const listed = (await listPorts()).find((port) => port.path === path);
  const bare = { path, vendorId: null, productId: null, serialNumber: null, manufacturer: null, twin: null };
  const [finding] = await findProbes({ ports: [listed ?? bare], signal });
  if (finding?.state === 'probe') return serialText(finding.identity.probeSerial);
  const what = finding === undefined ? `there is no port ${path}` : finding.why;
  throw new OhmwrightError('health.port', what, { help: finding?.help ?? '' });
}
