// A session as its outside sees it: a record on a disk in memory, the pure reducer, and a person, tips, cable and disk that do
// anything at any time. After each step it is held against what must never happen.
import { type Random, randomOf } from '../../../sim/random.ts';
import { OhmwrightError } from '../../../src/errors/ohmwright-error.ts';
import { canonicalJson } from '../../../src/record/chain/canonical.ts';
import { sha256 } from '../../../src/record/chain/chain.ts';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import type { Entry } from '../../../src/record/entries/entries.ts';
import { foldJob } from '../../../src/record/state/fold.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { isolatorOf } from '../../../src/session/job/guide-isolator.ts';
import { openJobState, stepJob } from '../../../src/session/job/job-reducer.ts';
import type { Effect, JobSessionEvent, JobSessionState } from '../../../src/session/job/job-session-state.ts';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { plainBench } from '../../support/bench-settings.ts';
import { guideOf } from '../../support/example-guide.ts';
import { MemoryDisk } from '../../support/memory-disk.ts';
import { AnyHands, guideText } from './any-hands.ts';

const guide = guideOf(guideText);
const isolator = isolatorOf(guide);
const folder = '/jobs';
const opening = {
  tool: 'ohmwright 0.0.0-test',
  guide: {
    id: guide.id,
    title: guide.title,
    sha256: sha256(guideText),
    text: guideText,
    checks: guide.checks.map(({ id, title, kind }) => ({ id, title, kind })),
  },
  device: { maker: 'Nobody', name: 'Thing', revision: 'A' },
  revision: { holds: true },
};

/** Counts of what a run of the model has met. */
export interface Met {
  steps: number;
  jobs: number;
  entries: number;
  passedJobs: number;
  resumes: number;
  diskFaults: number;
  verified: number;
}

/** Thrown where something happened that must never happen, with what led to it. */
class Broken extends Error {}

/** One bench over many jobs, from one seed. */
export class SessionModel {
  readonly met: Met = { steps: 0, jobs: 0, entries: 0, passedJobs: 0, resumes: 0, diskFaults: 0, verified: 0 };
  readonly #random: Random;
  readonly #seed: number;
  readonly #hands: AnyHands;
  readonly #disk = new MemoryDisk();
  #record!: JobRecord;
  #state!: JobSessionState;
  /** Entries that the session was told to be on record, as text. */
  #told: string[] = [];
  #clockMs = Date.UTC(2026, 0, 1);
  #fault: 'delete' | 'replace' | 'write' | 'short' | 'datasync' | null = null;
  #log: string[] = [];

  constructor(seed: number) {
    this.#seed = seed;
    this.#random = randomOf(seed, 'session model');
    this.#hands = new AnyHands(randomOf(seed, 'any hands'));
    this.#disk.fault = ({ name, path }) => {
      if (!path.endsWith('.owjob')) return null;
      if (this.#fault === 'datasync' && name === 'datasync') return { errno: 'EIO' };
      if (this.#fault === 'write' && name === 'write') return { errno: 'ENOSPC' };
      if (this.#fault === 'short' && name === 'write') return { takes: this.#random.integer(0, 200), errno: 'ENOSPC' };
      return null;
    };
  }

  /** Makes at least so many steps. @throws Broken */
  async run(steps: number): Promise<Met> {
    await this.#newJob();
    while (this.met.steps < steps) await this.#step();
    await this.#endJob();
    return this.met;
  }

  async #newJob(): Promise<void> {
    this.met.jobs += 1;
    this.#log = [];
    this.#told = [];
    this.#hands.forget();
    this.#record = await JobRecord.create(folder, opening, this.#deps());
    this.#begin();
  }

  #deps() {
    return {
      disk: this.#disk,
      clock: () => (this.#clockMs += 7),
      random: (bytes: number) => Uint8Array.from({ length: bytes }, () => this.#random.integer(0, 255)),
    };
  }

  #begin(): void {
    const concludes = this.met.jobs % 8 === 0;
    const settings = { ...plainBench, order: concludes ? ('information' as const) : ('guide' as const) };
    this.#state = openJobState(guide, this.#record.state, settings, concludes ? isolator : null);
    this.#hands.mode = null;
  }

  async #step(): Promise<void> {
    this.met.steps += 1;
    if (this.#fault === null && this.#random.uniform() < 0.002) this.#break();
    const event = this.#hands.next(this.#state);
    this.#log.push(JSON.stringify(event, (key, value) => (untold.has(key) ? undefined : value)));
    try {
      await this.#give(event);
    } catch (error) {
      if (!(error instanceof OhmwrightError) || this.#fault === null) throw error;
      await this.#afterFault(error);
      return;
    }
    this.#holds();
    const { phase } = this.#state;
    if (phase === 'left') await this.#resume();
    else if (phase === 'closed') {
      await this.#endJob();
      await this.#nextBench();
    }
  }

  async #give(event: JobSessionEvent): Promise<void> {
    const { state, effects } = stepJob(this.#state, event);
    this.#state = state;
    for (const effect of effects) await this.#carryOut(effect);
  }

  async #carryOut(effect: Effect): Promise<void> {
    switch (effect.do) {
      case 'append':
        return this.#appended(await this.#record.append(effect.entry));
      case 'close': {
        const { why, kind } = effect.ending;
        return this.#appended(await this.#record.closeJob(why, { abandoned: kind === 'abandoned' }));
      }
      case 'mode':
        this.#hands.mode = effect.set;
        if (this.#random.uniform() < 0.98) return this.#give({ type: 'mode-set' });
        return this.#give({ type: 'mode-refused' });
      default:
        return;
    }
  }

  /** The session is told that an entry is on record. */
  async #appended(entry: Entry): Promise<void> {
    if (this.#fault !== null) this.#broken(`${entry.kind} was told, and the disk did not take it (${this.#fault})`);
    this.met.entries += 1;
    this.#told.push(canonicalJson(entry));
    if ('outcome' in entry && entry.outcome === 'pass' && !this.#hands.bearsPass(entry))
      this.#broken(`${JSON.stringify(entry)} passes, and nothing good was done for it`);
    await this.#give({ type: 'appended', entry });
  }

  /** What must hold after each step. */
  #holds(): void {
    const { job, phase } = this.#state;
    if (job.result !== this.#record.state.result) this.#broken('the session and its record differ in the result');
    for (const { id } of guide.checks) {
      const check = job.checks[id];
      if (check?.outcome === 'pass' && check.attempts.at(-1)?.outcome !== 'pass')
        this.#broken(`${id} stands at a pass that its last attempt does not bear out`);
    }
    if (job.result !== 'passed') return;
    if (guide.checks.some(({ id }) => job.checks[id]?.outcome !== 'pass'))
      this.#broken('a job passes, and not all of its checks do');
    if (job.proofs.standing !== 'held') this.#broken('a job passes without a proved probe');
    if (phase === 'closed') this.met.passedJobs += 1;
  }

  /** The record on disk: all that was told is in it, in order; the result follows from it; it verifies. */
  #look(everything: boolean): void {
    const bytes = this.#disk.files.get(this.#record.path);
    if (bytes === undefined) this.#broken('the record is gone');
    const { lines, damage } = parseRecord(bytes);
    if (damage.length > 0) this.#broken(`the record is damaged: ${damage[0]!.what}`);
    const stored = new Set(lines.map(({ entry }) => canonicalJson(entry)));
    const lost = this.#told.find((told) => !stored.has(told));
    if (lost !== undefined) this.#broken(`told and not on record: ${lost}`);
    const again = foldJob(lines.map(({ entry }) => entry));
    const claimed = again.closed?.result;
    if (claimed !== undefined && claimed !== again.result)
      this.#broken(`closed as ${claimed}, entries say ${again.result}`);
    // the guide in it is read anew each time, so not each job that went well is worth it
    if (!everything && this.met.jobs % 4 !== 0) return;
    const { departures } = verifyWhole(bytes);
    if (departures.length > 0) this.#broken(`the record does not verify: ${JSON.stringify(departures[0])}`);
    this.met.verified += 1;
  }

  async #resume(isTorn = false): Promise<void> {
    await this.#record.close();
    // whoever left notices nothing of a record that is deleted behind them
    if (this.#fault === 'delete') return this.#nextBench();
    if (!isTorn) this.#look(false);
    if (isTorn && this.#isClosedOnDisk()) {
      // the closing was not synced and so not told, and is in the file all the same
      this.#look(true);
      return this.#nextBench();
    }
    this.met.resumes += 1;
    this.#record = await this.#reopened();
    if (isTorn) this.#look(true);
    this.#begin();
  }

  #isClosedOnDisk(): boolean {
    const { lines, torn } = parseRecord(this.#disk.files.get(this.#record.path) ?? Buffer.alloc(0));
    return torn === null && lines.some(({ entry }) => entry.kind === 'closed');
  }

  /** The record, open again: at the second try where the disk is still ill at the first. */
  async #reopened(): Promise<JobRecord> {
    const { path } = this.#record;
    try {
      const record = await JobRecord.resume(path, this.#deps());
      // what was put in the place of the file before is the file now
      if (this.#fault === 'replace') this.#fault = null;
      return record;
    } catch (error) {
      if (!(error instanceof OhmwrightError) || this.#fault === null) throw error;
      this.met.diskFaults += 1;
      this.#fault = null;
      return await JobRecord.resume(path, this.#deps());
    }
  }

  /** Another job on an empty disk. */
  async #nextBench(): Promise<void> {
    this.#fault = null;
    this.#disk.files.clear();
    this.#disk.log.length = 0;
    await this.#newJob();
  }

  async #endJob(): Promise<void> {
    await this.#record.close();
    if (this.#fault !== 'delete') this.#look(this.#state.job.result === 'passed');
  }

  /** Something happens to the disk or the file, and is met by the next entry. */
  #break(): void {
    const faults = ['delete', 'replace', 'write', 'short', 'datasync'] as const;
    this.#fault = faults[this.#random.integer(0, faults.length - 1)]!;
    const { path } = this.#record;
    if (this.#fault === 'delete') this.#disk.files.delete(path);
    if (this.#fault === 'replace') this.#disk.replace(path, Buffer.from(this.#disk.files.get(path) ?? []));
    this.#log.push(`fault ${this.#fault}`);
  }

  async #afterFault(error: OhmwrightError): Promise<void> {
    this.met.diskFaults += 1;
    const fault = this.#fault;
    const isChanged = fault === 'delete' || fault === 'replace';
    if (error.code !== (isChanged ? 'record.changed' : 'record.not-captured'))
      this.#broken(`a ${fault} ended with ${error.code}`);
    if (this.#state.job.closed !== null) this.#broken('a job was told as closed that is not on record');
    this.#fault = null;
    if (!isChanged) {
      await this.#resume(true);
      return;
    }
    await this.#record.close();
    await this.#nextBench();
  }

  #broken(what: string): never {
    const tail = this.#log.slice(-40).join('\n');
    throw new Broken(`seed ${this.#seed}, step ${this.met.steps}, job ${this.met.jobs}: ${what}\n${tail}`);
  }
}

/** Parts of events that only lengthen the story of what went wrong. */
const untold = new Set([
  'codes',
  'calibration',
  'identity',
  'parts',
  'contactSummary',
  'settleUs',
  'dropOuts',
  'bounceUs',
]);
