import { merge, Observable, Subject } from 'rxjs';
import type { Guide } from '../../guide/types.ts';
import { LinkError } from '../../link/link-error.ts';
import type { LinkItem, ProbeLink } from '../../link/probe/probe-link.ts';
import type { Prompt } from '../../ports/prompt.ts';
import { feelsTips } from '../../protocol/flags.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import type { Entry } from '../../record/entries/entries.ts';
import type { BenchKey } from '../../record/signing/bench-key.ts';
import type { CalibrationFile } from '../../record/store/calibration-file.ts';
import type { JobRecord } from '../../record/store/record.ts';
import { calibrationOf } from '../engine/calibration-in-force.ts';
import { sounds } from '../engine/sounds.ts';
import type { Isolator } from './isolator.ts';
import { openBench, stepBench } from './job-reducer.ts';
import type { BenchEvent, BenchSettings, BenchState, Effect, ProbeMode, Tracking } from './job-session-state.ts';
import { Watch } from './reading-events.ts';

/** What a session is joined to. */
export interface SessionJoints {
  guide: Guide;
  record: JobRecord;
  settings: BenchSettings;
  /** Signs the record's end when the job is closed; none: it stays unsigned. */
  key?: BenchKey;
  /** Tells suspects apart; without it checks are only done, and nothing is concluded. */
  isolator?: Isolator;
  /** Opens the link and gives every item of it, in order, to `onItem`. */
  connect(onItem: (item: LinkItem) => void, signal: AbortSignal): Promise<ProbeLink>;
  /** Returns what this host holds as the calibration of a probe; left out, only the probe's own counts. */
  calibrationFile?(probeSerial: number): Promise<CalibrationFile>;
  /** Returns in words that a probe's proofs of the past drift, null when they don't; left out, nobody knows. Must not reject. */
  driftOf?(probeSerial: number): Promise<string | null>;
  /** The time that a calibration's age is counted to. */
  now(): Date;
  /** Stops the probe's clock while the host does slow work; only a virtual-time link has it. */
  hold?: () => () => void;
  /** Sees every state after it is made, with the event that made it. */
  onState(state: BenchState, event: BenchEvent): void;
  /** Sees every batch of readings, after the session has taken it: what a screen shows between two states. */
  onBatch?(batch: ReadingBatch, state: BenchState): void;
  /** Sees what is asked of the hands. */
  onPrompt(prompt: Prompt): void;
}

/**
 * One session at the bench: joins link, measurement, reducer and record.
 *
 * Link items and commands are merged into one stream with one subscription; each becomes events for the pure reducer, and
 * the effects that the reducer asks for are done one after another. An entry is appended and synced before the event
 * that says so; while that goes on, a virtual probe's clock stands still.
 */
export class Session {
  readonly #joints: SessionJoints;
  readonly #watch = new Watch();
  readonly #commands = new Subject<BenchEvent>();
  readonly #abort = new AbortController();
  #state: BenchState;
  #effects: Effect[] = [];
  #working = false;
  #link: Promise<ProbeLink> | null = null;
  #end: { resolve: (state: BenchState) => void; reject: (error: unknown) => void } | null = null;

  constructor(joints: SessionJoints) {
    this.#joints = joints;
    this.#state = openBench(joints.guide, joints.record.state, joints.settings, joints.isolator ?? null);
  }

  get state(): BenchState {
    return this.#state;
  }

  /** Takes what a person, the hands or the screen says. */
  command(event: BenchEvent): void {
    this.#commands.next(event);
  }

  /**
   * Runs until the job is closed or left, and returns the last state.
   *
   * @throws OhmwrightError `link.*` when the probe can't be reached, `record.*` when an entry could not be stored
   */
  async run(signal: AbortSignal): Promise<BenchState> {
    const ended = new Promise<BenchState>((resolve, reject) => {
      this.#end = { resolve, reject };
    });
    const items$ = new Observable<LinkItem>((out) => {
      this.#link = this.#joints.connect((item) => out.next(item), this.#abort.signal);
      this.#link.catch((error: unknown) => out.error(error));
    });
    const leave = () => this.command({ type: 'quit' });
    const subscription = merge(items$, this.#commands).subscribe({
      next: (item) => this.#take(item),
      error: (error: unknown) => this.#end?.reject(error),
    });
    if (signal.aborted) leave();
    signal.addEventListener('abort', leave, { once: true });
    try {
      return await ended;
    } finally {
      signal.removeEventListener('abort', leave);
      subscription.unsubscribe();
      this.#abort.abort();
      await this.#link?.then(
        (link) => link.close(),
        () => undefined,
      );
    }
  }

  #take(item: LinkItem | BenchEvent): void {
    if ('type' in item) {
      this.#dispatch(item);
      return;
    }
    switch (item.kind) {
      case 'connected':
        this.#welcome(item).catch((error: unknown) => this.#unlessLinkBroke(error));
        return;
      case 'readings':
        for (const event of this.#watch.readings(item.batch)) this.#dispatch(event);
        this.#joints.onBatch?.(item.batch, this.#state);
        return;
      case 'event':
        for (const event of this.#watch.probeEvent(item)) this.#dispatch(event);
        return;
      case 'gap': {
        const { cause, missing, fromUs, toUs, text } = item;
        this.#dispatch({ type: 'gap', cause, missing, fromUs, toUs, text });
        return;
      }
      case 'disconnected':
        this.#watch.stop();
        this.#dispatch({ type: 'disconnected', why: item.why });
        return;
    }
  }

  /** A probe has answered: its calibration is read, its readings are started, then the session hears of it. */
  async #welcome(item: Extract<LinkItem, { kind: 'connected' }>): Promise<void> {
    const link = await this.#link!;
    const stored = await link.readCalibration();
    const { probeSerial } = item.identity;
    const file = await this.#joints.calibrationFile?.(probeSerial);
    const { calibration, text } = calibrationOf(stored, probeSerial, this.#joints.now().getTime(), file);
    const drift = (await this.#joints.driftOf?.(probeSerial)) ?? null;
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    this.#watch.forget(feelsTips(item.identity));
    this.#dispatch({
      type: 'connected',
      identity: item.identity,
      path: link.path,
      calibration,
      calibrationState: text,
      drift,
    });
  }

  /** A request that a broken link has swallowed ends nothing: the link finds the probe again, and the task is begun anew then. */
  #unlessLinkBroke(error: unknown): void {
    if (!isLinkTrouble(error)) this.#end?.reject(error);
  }

  #dispatch(event: BenchEvent): void {
    const { state, effects } = stepBench(this.#state, event);
    this.#state = state;
    this.#joints.onState(state, event);
    this.#effects.push(...effects);
    if (!this.#working) {
      this.#work().catch((error: unknown) => this.#end?.reject(error));
    }
  }

  async #work(): Promise<void> {
    this.#working = true;
    try {
      for (let effect = this.#effects.shift(); effect !== undefined; effect = this.#effects.shift()) {
        await this.#carryOut(effect);
      }
    } finally {
      this.#working = false;
    }
  }

  async #carryOut(effect: Effect): Promise<void> {
    switch (effect.do) {
      case 'append':
        await this.#store((record) => record.append(effect.entry));
        return;
      case 'close': {
        const link = await this.#link!;
        await this.#store((record) => record.append({ kind: 'link', counters: { ...link.counters() } }));
        const { key } = this.#joints;
        await this.#store((record) => record.closeJob(effect.why, key === undefined ? {} : { key }));
        return;
      }
      case 'prompt':
        this.#joints.onPrompt(effect.prompt);
        return;
      case 'sound': {
        const link = await this.#link;
        // a missed tone loses no evidence, so a link that just went away is left to its own report
        await link?.request({ type: 'tone', ...sounds[effect.sound] }).catch(() => undefined);
        return;
      }
      case 'mode':
        await this.#setMode(effect.set, effect.tracking);
        return;
      case 'bridge':
        await this.#closeBridge(effect.durationMs);
        return;
      case 'finish':
        this.#end?.resolve(this.#state);
        return;
    }
  }

  async #store(write: (record: JobRecord) => Promise<Entry>): Promise<void> {
    const release = this.#joints.hold?.();
    try {
      const stored = await write(this.#joints.record);
      this.#dispatch({ type: 'appended', entry: stored });
    } finally {
      release?.();
    }
  }

  async #setMode(set: ProbeMode, tracking: Tracking): Promise<void> {
    this.#watch.stop();
    const link = await this.#link!;
    const request = { type: 'mode', mode: set.mode, level: set.level, range: 'auto', input: set.input } as const;
    try {
      await link.request(request).catch(async (error: unknown) => {
        if (!(error instanceof LinkError) || error.status !== 'busy') throw error;
        // a task that was given up may have left the bridge closed
        await link.request({ type: 'bridge', durationMs: 0 });
        await link.request(request);
      });
    } catch (error) {
      if (error instanceof LinkError && error.status === 'live') this.#dispatch({ type: 'mode-refused' });
      else this.#unlessLinkBroke(error);
      return;
    }
    this.#watch.start(set, tracking, this.#state.probe!.calibration);
    this.#dispatch({ type: 'mode-set' });
  }

  /** What comes of it the readings and the probe's events tell. */
  async #closeBridge(durationMs: number): Promise<void> {
    const link = await this.#link!;
    try {
      await link.request({ type: 'bridge', durationMs });
    } catch (error) {
      if (error instanceof LinkError && error.status !== undefined) {
        this.#dispatch({ type: 'bridge-refused', status: error.status });
      } else this.#unlessLinkBroke(error);
    }
  }
}

/** Trouble that the link reports by itself, as `disconnected`, and mends by itself. */
function isLinkTrouble(error: unknown): boolean {
  return (
    error instanceof LinkError &&
    ['link.lost', 'link.reset', 'link.no-answer', 'link.closed', 'link.aborted'].includes(error.code)
  );
}
