import { LinkError } from '../../link/link-error.ts';
import type { LinkItem, ProbeLink } from '../../link/probe/probe-link.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { CalibrationBlockState } from '../../protocol/calibration-block.ts';
import { feelsTips } from '../../protocol/flags.ts';
import { timeoutTable } from '../../protocol/table.ts';
import type { InForce } from '../engine/calibration-in-force.ts';
import { sounds } from '../engine/sounds.ts';
import { CalibrationReadingEvents } from './calibration-reading-events.ts';
import { stepCalibration } from './calibration-reducer.ts';
import type { CalibrationEffect, CalibrationEvent, CalibrationMode, CalibrationState } from './calibration-state.ts';

/** What a calibration session is joined to. */
export interface CalibrationDeps {
  /** Opens the link and gives every item of it, in order, to `onItem`. */
  connect(onItem: (item: LinkItem) => void, signal: AbortSignal): Promise<ProbeLink>;
  /** Returns what is in force for a probe now, by what its calibration area holds. */
  inForce(stored: CalibrationBlockState, probeSerial: number): Promise<InForce>;
  /** Sees every state after it is made. */
  onState(state: CalibrationState, event: CalibrationEvent): void;
  /** Sees what is asked of the hands, and which standard it is about. */
  onPrompt(prompt: Prompt, standard: string): void;
}

/** A calibration session at a probe: joins link, watch and the pure steps. The probe is left on; whoever opened the session closes it. */
export class CalibrationSession {
  readonly #joints: CalibrationDeps;
  readonly #watch = new CalibrationReadingEvents();
  readonly #abort = new AbortController();
  #state: CalibrationState;
  #link: Promise<ProbeLink> | null = null;
  #ended: { resolve: (state: CalibrationState) => void; reject: (error: unknown) => void } | null = null;

  constructor(state: CalibrationState, joints: CalibrationDeps) {
    this.#state = state;
    this.#joints = joints;
  }

  get state(): CalibrationState {
    return this.#state;
  }

  /** The link; only after {@link run} has begun. */
  get link(): Promise<ProbeLink> {
    if (this.#link === null) throw new Error('the session has not begun');
    return this.#link;
  }

  /** Takes what a person says. */
  command(event: CalibrationEvent): void {
    this.#dispatch(event);
  }

  /**
   * Runs until everything is read, finished or left, and returns the last state.
   *
   * @throws OhmwrightError `link.*`, `port.*` when the probe can't be reached
   */
  async run(signal: AbortSignal): Promise<CalibrationState> {
    const ended = new Promise<CalibrationState>((resolve, reject) => {
      this.#ended = { resolve, reject };
    });
    const leave = () => this.command({ type: 'quit' });
    this.#link = this.#joints.connect((item) => this.#take(item), this.#abort.signal);
    this.#link.catch((error: unknown) => this.#ended?.reject(error));
    if (signal.aborted) leave();
    signal.addEventListener('abort', leave, { once: true });
    try {
      return await ended;
    } finally {
      signal.removeEventListener('abort', leave);
      this.#watch.stop();
    }
  }

  /** Closes the link. */
  async close(): Promise<void> {
    this.#abort.abort();
    await this.#link?.then(
      (link) => link.close(),
      () => undefined,
    );
  }

  #take(item: LinkItem): void {
    switch (item.kind) {
      case 'connected':
        this.#welcome(item).catch((error: unknown) => this.#unlessLinkBroke(error));
        return;
      case 'readings':
        for (const event of this.#watch.take(item.batch)) this.#dispatch(event);
        return;
      case 'event':
        if (item.name === 'buttonUp')
          this.#dispatch({ type: item.arg >= timeoutTable.buttonLong.ms ? 'skip' : 'again' });
        return;
      case 'disconnected':
        this.#watch.stop();
        this.#dispatch({ type: 'disconnected', why: item.why });
        return;
      case 'gap':
        return; // a point with readings missing is begun anew by the watch
    }
  }

  async #welcome(item: Extract<LinkItem, { kind: 'connected' }>): Promise<void> {
    const link = await this.#link!;
    const { identity } = item;
    const before = await this.#joints.inForce(await link.readCalibration(), identity.probeSerial);
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    this.#watch.forget(feelsTips(identity));
    this.#dispatch({ type: 'connected', identity, path: link.path, before });
  }

  #dispatch(event: CalibrationEvent): void {
    const { state, effects } = stepCalibration(this.#state, event);
    this.#state = state;
    this.#joints.onState(state, event);
    for (const effect of effects) this.#carryOut(effect);
  }

  #carryOut(effect: CalibrationEffect): void {
    switch (effect.do) {
      case 'mode':
        this.#setMode(effect.mode).catch((error: unknown) => this.#unlessLinkBroke(error));
        return;
      case 'prompt':
        this.#joints.onPrompt(effect.prompt, effect.standard);
        return;
      case 'sound':
        // a tone that is missed loses no point
        void this.#link?.then((link) => link.request({ type: 'tone', ...sounds[effect.sound] })).catch(() => undefined);
        return;
      case 'finish':
        this.#ended?.resolve(this.#state);
        return;
    }
  }

  async #setMode(mode: CalibrationMode): Promise<void> {
    this.#watch.stop();
    const link = await this.#link!;
    const { range, level } = mode.combination;
    const input = mode.watch === 'check' ? 'check' : 'tips';
    try {
      if (level === 'voltage') {
        await link.request({ type: 'mode', mode: 'voltage', level: 'normal', range: 'auto', input });
      } else {
        const wanted = mode.watch === 'check' ? 'auto' : range;
        await link.request({ type: 'mode', mode: 'resistance', level, range: wanted, input });
      }
    } catch (error) {
      if (!(error instanceof LinkError && error.status === 'live')) throw error;
      this.#watch.start(mode);
      this.#dispatch({ type: 'mode-refused' });
      return;
    }
    this.#watch.start(mode);
    this.#dispatch({ type: 'mode-set' });
  }

  /** What a broken link has swallowed is asked for again when the probe is found. */
  #unlessLinkBroke(error: unknown): void {
    const broke = ['link.lost', 'link.reset', 'link.no-answer', 'link.closed', 'link.aborted'];
    if (error instanceof LinkError && broke.includes(error.code)) return;
    this.#ended?.reject(error);
  }
}
