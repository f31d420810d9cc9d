// A session as its outside sees it: a record on a disk in memory, the pure reducer, and a person, tips, cable and disk that do
// anything at any time. After each step it is held against what must never happen.
import { type Random, randomOf } from '../../../sim/random.ts';
import { OhmwrightError } from '../../../src/errors/ohmwright-error.ts';
import { codeOfOhm, rangeCalibration } from '../../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { CaptureWindow, ContactEvent, ContactSummary, PressSummary } from '../../../src/measure/types.ts';
import { enumTable, flagBits } from '../../../src/protocol/table.ts';
import { canonicalJson } from '../../../src/record/chain/canonical.ts';
import { sha256 } from '../../../src/record/chain/chain.ts';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import type { Entry } from '../../../src/record/entries/entries.ts';
import { foldJob } from '../../../src/record/state/fold.ts';
import { windowsIn } from '../../../src/record/state/windows.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { isolatorOf } from '../../../src/session/job/guide-isolator.ts';
import { openJobState, stepJob } from '../../../src/session/job/job-reducer.ts';
import type {
  Effect,
  JobSessionEvent,
  JobSessionState,
  ProbeMode,
} from '../../../src/session/job/job-session-state.ts';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { plainBench } from '../../support/bench-settings.ts';
import { connected } from '../../support/dry-bench.ts';
import { guideOf } from '../../support/example-guide.ts';
import { MemoryDisk } from '../../support/memory-disk.ts';

const guideText = `
guide: 1
id: any-key
title: A key of a test device
device: { maker: Nobody, name: Thing, kind: test device }
revisions: { holds: [A] }
cautions:
  - { id: cell, title: Lithium cell, text: Unplug it. }
  - { id: live, title: Power on, text: Tips slip., when: power-on }
units:
  - { id: key, name: key unit, price: 5, minutes: 5 }
ground: GND
nodes: [GND, A, B, K, V]
pads:
  - { id: P, node: A, where: left }
  - { id: Q, node: B, where: right }
  - { id: R, node: K, where: key }
  - { id: G, node: GND, where: can }
links:
  - { id: path, from: A, to: B, kind: trace, ohm: 0.2 ohm, unit: key }
  - { id: contact, from: K, to: GND, kind: switch, ohm: 0.2 ohm, unit: key }
  - { id: pull, from: V, to: B, kind: resistor, ohm: 10 kohm, unit: key }
rails:
  - { id: v, node: V, volt: 1.8 V, ohm: 1 ohm }
keys:
  - { id: k, name: the key, link: contact }
checks:
  - { id: path, kind: resistance, title: Path, pads: [P, Q], limits: max 1 ohm, prompt: Touch both. }
  - { id: eyes, kind: look, title: Pads, question: Clean?, passAnswer: yes, prompt: Look. }
  - { id: key, kind: presses, title: Key, pads: [R, G], key: k, count: 3, limits: max 1 ohm, prompt: Press. }
  - { id: idle, kind: voltage, title: Idle, power: on, pads: [Q, G], limits: 1.6..2 V, prompt: Touch both. }
repairs:
  - { id: fit, name: fit a new key unit, fixes: [path, contact], price: 5, minutes: 5, success: 90 % }
`;
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
  readonly #disk = new MemoryDisk();
  #record!: JobRecord;
  #state!: JobSessionState;
  #mode: ProbeMode | null = null;
  /** Entries that the session was told to be on record, as text. */
  #told: string[] = [];
  #tUs = 1_000_000;
  #clockMs = Date.UTC(2026, 0, 1);
  #fault: 'delete' | 'replace' | 'write' | 'short' | 'datasync' | null = null;
  /** Times of the windows in which something good was at the tips: what passes has to rest on these. */
  readonly #good = new Set<number>();
  /** What the person answered last. */
  #answered: string | null = null;
  #log: string[] = [];

  constructor(seed: number) {
    this.#seed = seed;
    this.#random = randomOf(seed, 'session model');
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
    this.#good.clear();
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
    this.#mode = null;
  }

  async #step(): Promise<void> {
    this.met.steps += 1;
    if (this.#fault === null && this.#random.uniform() < 0.002) this.#break();
    const event = this.#event();
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
        this.#mode = effect.set;
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
    if ('outcome' in entry && entry.outcome === 'pass' && !this.#bearsPass(entry))
      this.#broken(`${JSON.stringify(entry)} passes, and nothing good was done for it`);
    await this.#give({ type: 'appended', entry });
  }

  #bearsPass(entry: Entry): boolean {
    if (entry.kind === 'observation') return this.#answered === 'yes';
    const windows = windowsIn(entry);
    return windows.length > 0 && windows.every(({ tUs }) => this.#good.has(tUs));
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
    this.met.resumes += 1;
    this.#record = await this.#reopened();
    if (isTorn) this.#look(true);
    this.#begin();
  }

  /** The record, open again: at the second try where the disk is still ill at the first. */
  async #reopened(): Promise<JobRecord> {
    const { path } = this.#record;
    try {
      return await JobRecord.resume(path, this.#deps());
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

  /** Mostly what is asked for; at times anything. */
  #event(): JobSessionEvent {
    if (!this.#state.connected) return this.#random.uniform() < 0.8 ? connected : this.#anything();
    return this.#random.uniform() < 0.75 ? this.#asked() : this.#anything();
  }

  #asked(): JobSessionEvent {
    const { run } = this.#state;
    const prompt = run?.prompt ?? null;
    if (run !== null && run.stage === 'lifting') return contactOf(this.#lift());
    switch (prompt?.act) {
      case 'answer':
      case 'repair':
        return this.#answer(prompt.id);
      case 'choose':
        return { type: 'choose', repair: this.#random.uniform() < 0.7 ? 'fit' : null, by: 'person' };
      case 'lift':
        return contactOf(this.#lift());
      case 'press':
        return this.#press();
      default:
        return contactOf(this.#touch());
    }
  }

  #answer(prompt: string): JobSessionEvent {
    const answer = this.#random.uniform() < 0.9 ? 'yes' : this.#pick(['no', 'unsure'] as const);
    this.#answered = answer;
    return { type: 'answer', prompt, answer, by: 'person' };
  }

  #touch(): ContactEvent {
    if (this.#random.uniform() < 0.3) return { kind: 'make', tUs: this.#later() };
    const window = this.#window();
    if (this.#random.uniform() < 0.05) {
      this.#good.delete(window.tUs);
      return { kind: 'unsteady', tUs: this.#later(), window, contact: summary, why: 'it moved' };
    }
    return {
      kind: 'captured',
      tUs: this.#later(),
      window,
      contact: summary,
      reading: readWindow(window, nominalCalibration),
    };
  }

  /** Readings as the probe gives them in its present mode, of something good, bad or in between; at times garbage. */
  #window(): CaptureWindow {
    const mode = this.#mode ?? { mode: 'resistance', level: 'normal', input: 'tips' };
    const isGarbage = this.#random.uniform() < 0.03;
    const isVolt = mode.mode === 'voltage';
    const input = enumTable.input[mode.input];
    const seat = flagBits.seatA | flagBits.seatB | flagBits.auto;
    const bits = input | seat | (isVolt ? flagBits.voltage : flagBits.excitation);
    const common = { tUs: this.#later(), periodUs: 884, level: 'normal', flagBits: bits } as const;
    if (isGarbage) {
      const codes = this.#pick([
        [],
        this.#codes(0, 16368),
        Array.from({ length: 27 }, () => this.#random.integer(0, 16368)),
        Array.from({ length: 27 }, () => 16368),
      ]);
      // what garbage comes to is for the judge to say; it may read as anything, and an empty window as nothing
      return this.#seen({ ...common, range: this.#random.integer(0, 6), codes }, codes.length > 0);
    }
    if (isVolt) {
      const volt = this.#pick([1.8, 1.8, 1.8, 0, 1.6, 3]);
      const code = nominalCalibration.voltage.nZero + nominalCalibration.voltage.codesPerVolt * volt;
      return this.#seen({ ...common, range: 0, codes: this.#codes(code, 2) }, volt === 1.8);
    }
    const task = this.#state.tasks[this.#state.at];
    const isProof = task?.kind === 'proof';
    const wanted = !isProof ? 0.2 : task.what === 'check-resistor' ? 100 : 0.002;
    const ohm = this.#random.uniform() < (isProof ? 0.95 : 0.7) ? wanted : this.#pick([1, 5, 2e7]);
    const range = ohm < 1.2 ? 0 : ohm < 100 ? 1 : ohm < 5700 ? 2 : ohm < 182e3 ? 3 : 4;
    const code = codeOfOhm(ohm, rangeCalibration(nominalCalibration, range, 'normal')!);
    return this.#seen({ ...common, range, codes: this.#codes(code, 2) }, ohm === wanted);
  }

  #seen(window: CaptureWindow, good: boolean): CaptureWindow {
    if (good) this.#good.add(window.tUs);
    return window;
  }

  #codes(code: number, spread: number): number[] {
    return Array.from({ length: 27 }, () =>
      Math.min(16368, Math.max(0, Math.round(code) + this.#random.integer(-spread, spread))),
    );
  }

  #press(): JobSessionEvent {
    const window = this.#window();
    const missed = this.#random.uniform() < 0.05;
    const reading = readWindow(window, nominalCalibration);
    const press: PressSummary = missed
      ? { closedReading: null, bounceUs: 0, makes: 0, heldUs: 0, window: null, missed }
      : { closedReading: reading, bounceUs: 300, makes: 2, heldUs: 90_000, window, missed };
    return { type: 'press', press };
  }

  #lift(): ContactEvent {
    return { kind: 'lift', tUs: this.#later(), contact: summary };
  }

  #anything(): JobSessionEvent {
    const tUs = this.#later();
    switch (this.#random.integer(0, 19)) {
      case 0:
        return { type: 'disconnected', why: 'unplugged' };
      case 1:
        return connected;
      case 2:
        return {
          type: 'gap',
          gap: {
            kind: 'gap',
            cause: 'sequence',
            missing: 3,
            fromUs: tUs - 9000,
            toUs: tUs,
            text: '3 readings missing',
          },
        };
      case 3:
        return { type: 'mode-refused' };
      case 4:
        return { type: 'standing' };
      case 5:
        return contactOf({ kind: 'live', tUs, on: this.#random.uniform() < 0.5 });
      case 6:
        return contactOf(this.#touch());
      case 7:
        return contactOf(this.#lift());
      case 8:
        return contactOf({ kind: 'make', tUs });
      case 9:
        return this.#button();
      case 10:
        return { type: 'repeat', by: 'person' };
      case 11:
        return this.#random.uniform() < 0.3
          ? { type: 'skip', reason: 'no time', by: 'person' }
          : { type: 'clock', tUs };
      case 12:
        return { type: 'note', text: `seen at ${tUs}` };
      case 13:
        return { type: 'pause', on: this.#random.uniform() < 0.3 };
      case 14:
        return { type: 'jump', check: this.#pick(['path', 'eyes', 'key', 'idle', 'none']) };
      case 15:
        return this.#random.uniform() < 0.1 ? { type: 'conclude' } : { type: 'clock', tUs };
      case 16:
        return this.#random.uniform() < 0.1 ? { type: 'swapped', unit: 'key', by: 'person' } : { type: 'clock', tUs };
      case 17:
        return this.#answer(`p${this.#random.integer(1, 20)}`);
      case 18:
        return this.#press();
      default:
        return this.#pick<JobSessionEvent>([
          { type: 'clock', tUs },
          { type: 'clock', tUs: this.#random.integer(0, 10_000_000) },
          { type: 'clock', tUs },
          { type: 'quit' },
          ...(this.#random.uniform() < 0.1 ? [{ type: 'abandon', reason: 'the customer came' } as const] : []),
        ]);
    }
  }

  #button(): JobSessionEvent {
    if (this.#random.uniform() < 0.5) return { type: 'button', long: this.#random.uniform() < 0.2, standing: null };
    const window = this.#window();
    return { type: 'button', long: false, standing: { window, contact: summary } };
  }

  #later(): number {
    this.#tUs += this.#random.integer(1000, 400_000);
    return this.#tUs;
  }

  #pick<T>(from: readonly T[]): T {
    return from[this.#random.integer(0, from.length - 1)]!;
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

const summary: ContactSummary = {
  touchUs: 60_000,
  makes: 1,
  bounceUs: 0,
  dropOuts: { count: 0, longestUs: 0, totalUs: 0, subReading: 0 },
  settleUs: 20_000,
  seated: true,
};

function contactOf(contact: ContactEvent): JobSessionEvent {
  return { type: 'contact', contact };
}
