import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { type Difference, type PairReading, rankDifferences } from '../../learn/differences.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import { knownGoodOf } from '../../record/state/known-good.ts';
import { recordEnding } from '../../record/store/job-name.ts';
import { type ReadResult, readRecord } from '../../record/store/read-record.ts';
import { refuseUnlessVerified } from '../job/run.ts';
import { type Context, exitUnlessInterrupted, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { CompareOptions } from './compare-command.ts';
import { type ComparedPads, comparedPads, compareGuide } from './compare-guide.ts';
import { measureOnly } from './measure-only.ts';
import { readingsOf } from './sitting-readings.ts';

/**
 * `compare`: reads the same pads on two units, or the pads of two keys, and ranks the differences;
 * returns the exit code. Each unit has a record, and that of the second names the first.
 */
export async function compare(good: string, bad: string, options: CompareOptions, context: Context): Promise<number> {
  const { terminal, signal } = context;
  const paths = [good, bad].every(isRecord) ? [good, bad] : await measureBoth(good, bad, options, context);
  if (paths === null) return exitUnlessInterrupted(exitCodes.inconclusive, signal);
  const records: ReadResult[] = [];
  for (const path of paths) {
    await refuseUnlessVerified(path);
    records.push(await readRecord(path));
  }
  const [ofGood, ofBad] = records.map(pairReadings);
  const ids = [...ofGood!.keys()].filter((id) => ofBad!.has(id));
  const missing = [...new Set([...ofGood!.keys(), ...ofBad!.keys()])].filter((id) => !ids.includes(id));
  const ranked = rankDifferences(ids.map((id) => ({ id, good: ofGood!.get(id)!, bad: ofBad!.get(id)! })));
  if (options.json) {
    const compared = records.map(({ path, identity }) => ({ path, recordIdentity: identity }));
    const differences = ranked.map(({ id, good: onGood, bad: onBad, sigmas, ...one }) => ({
      pair: id,
      onGood,
      onBad,
      sigmas: Number.isFinite(sigmas) ? sigmas : null,
      ...one,
    }));
    printJson(terminal, { compared, differences, unread: missing });
  } else {
    for (const one of ranked) terminal.out(lineOf(one));
    for (const id of missing) terminal.out(`${id}: not read on both`);
    terminal.say('How far good units differ among themselves is not known here: a second good one would tell.');
  }
  if (ranked.some(({ says }) => says === 'differs')) return exitCodes.failed;
  return missing.length > 0 || ranked.length === 0 ? exitCodes.inconclusive : exitCodes.passed;
}

function isRecord(name: string): boolean {
  return name.endsWith(recordEnding);
}

/** Measures one after the other; null when one was left. */
async function measureBoth(
  good: string,
  bad: string,
  options: CompareOptions,
  context: Context,
): Promise<[string, string] | null> {
  const pairs = comparedPads(options.pads);
  const first = await measure(pairs, 'good', `good one of a comparison: ${good}`, { ...options, fault: [] }, context);
  if (first === null) return null;
  const { identity } = await readRecord(first);
  const beside = `other one of a comparison: ${bad}; the good one is the record whose first line has the hash ${identity}`;
  const specimen = { ...options, seed: options.seed + 1 };
  const second = await measure(pairs, 'bad', beside, specimen, context);
  return second === null ? null : [first, second];
}

async function measure(
  pairs: readonly ComparedPads[],
  side: 'good' | 'bad',
  symptom: string,
  options: CompareOptions,
  context: Context,
): Promise<string | null> {
  const made = compareGuide(pairs, side, options.pressed);
  const told = { ...options, resume: undefined, record: undefined, order: 'guide', repair: 'none', symptom } as const;
  const { path, isOpen } = await measureOnly(made, told, context);
  if (!isOpen) return path;
  context.terminal.say('The comparison was left: its record stays open, and nothing is said.');
  return null;
}

function pairReadings(record: ReadResult): Map<string, PairReading> {
  const of = readingsOf(record);
  const ids = knownGoodOf(record.state, record.entries).map(({ check }) => check);
  const read = ids.flatMap((id): [string, PairReading][] => {
    const reading = of(id);
    if (reading === null) return [];
    const { value, u, isOpen, hasFailed } = reading;
    return [[id, { ohm: value, u, isOpen, hasFilm: hasFailed }]];
  });
  if (read.length > 0) return new Map(read);
  throw new OhmwrightError('record.nothing-read', `the record ${record.path} has no reading to compare`, {
    help: 'Compare two units whose pads were read.',
  });
}

function lineOf({ id, good, bad, ratio, factor, says }: Difference): string {
  const told = ({ ohm, isOpen, hasFilm }: PairReading): string =>
    isOpen ? 'open' : `${formatQuantity(ohm, 'resistance')}${hasFilm ? ' with a film' : ''}`;
  const times = ratio === null ? '' : `, ${Number(ratio.toPrecision(3))} times (x/ ${Number(factor!.toPrecision(3))})`;
  const words = { differs: 'differs', spread: 'differs, as good units may', same: 'the same' }[says];
  return `${id}: ${words}: ${told(good)} against ${told(bad)}${times}`;
}
