import { map, merge, Observable, Subject } from 'rxjs';
import { LinkError } from '../../link/link-error.ts';
import type { LinkItem, ProbeLink } from '../../link/probe/probe-link.ts';
import type { Prompt } from '../../ports/prompt.ts';
import { feelsTips } from '../../protocol/flags.ts';
import type { Request } from '../../protocol/messages.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import type { RunnableSession } from './session-face.ts';
import type { CommonEffect, SessionParts, StateChange } from './session-parts.ts';
import { sounds } from './sounds.ts';

/**
 * The engine of every session at a probe: job, calibration, meter.
 *
 * Link items and commands are merged into one stream with one subscription. A reading watcher makes
 * events of the items. The pure reducer makes the next state of each event, and names effects.
 * Effects are carried out one after another.
 *
 * Faces subscribe to `states$`, `prompts$` and `readings$`. These are lossless; a screen thins them
 * out by itself.
 */
export class Engine<State, Event extends object, Effect extends { do: string }>
  implements RunnableSession<State, Event>
{
  readonly #parts: SessionParts<State, Event, Effect>;
  readonly #commands$ = new Subject<Event>();
  readonly #states$ = new Subject<StateChange<State, Event>>();
  readonly #prompts$ = new Subject<Prompt>();
  readonly #readings$ = new Subject<ReadingBatch>();
  readonly #abort = new AbortController();
  readonly #events: Event[] = [];
  readonly #effects: Effect[] = [];
  #state: State;
  #isStepping = false;
  #isWorking = false;
  #link: Promise<ProbeLink> | null = null;
  #end: { resolve: (state: State) => void; reject: (error: unknown) => void } | null = null;

  /** Every state, with the event that made it. */
  readonly states$: Observable<StateChange<State, Event>> = this.#states$.asObservable();
  /** What is asked of the hands. */
  readonly prompts$: Observable<Prompt> = this.#prompts$.asObservable();
  /** Every batch of readings, after the reducer has taken its events. */
  readonly readings$: Observable<ReadingBatch> = this.#readings$.asObservable();

  constructor(parts: SessionParts<State, Event, Effect>) {
    this.#parts = parts;
    this.#state = parts.state;
  }

  get state(): State {
    return this.#state;
  }

  /** The link. @throws Error before {@link run} has begun */
  get link(): Promise<ProbeLink> {
    if (this.#link === null) throw new Error('the session has not begun');
    return this.#link;
  }

  /** Takes what a person, the hands or the screen says. */
  command(event: Event): void {
    this.#commands$.next(event);
  }

  /**
   * Gives an event to the reducer. An event that comes while another is being worked on waits for
   * its turn.
   */
  dispatch(event: Event): void {
    this.#events.push(event);
    if (this.#isStepping) return;
    this.#isStepping = true;
    try {
      for (let next = this.#events.shift(); next !== undefined; next = this.#events.shift()) this.#step(next);
    } catch (error) {
      this.#events.length = 0;
      this.#end?.reject(error);
    } finally {
      this.#isStepping = false;
    }
  }

  /**
   * Runs until the reducer asks for the effect `finish`, and returns the last state. An aborted
   * signal is the event `leave`. The link is closed then, unless the session keeps it.
   *
   * @throws OhmwrightError `port.*`, `link.*` when the probe can't be reached; whatever an effect
   *   throws
   */
  async run(signal: AbortSignal): Promise<State> {
    const ended = new Promise<State>((resolve, reject) => {
      this.#end = { resolve, reject };
    });
    const items$ = new Observable<LinkItem>((out) => {
      this.#link = this.#parts.probe.connect((item) => out.next(item), this.#abort.signal);
      this.#link.catch((error: unknown) => out.error(error));
    });
    const inputs = merge(
      items$.pipe(map((item) => ({ item }))),
      this.#commands$.pipe(map((event) => ({ event }))),
    ).subscribe({
      next: (input) => ('item' in input ? this.#take(input.item) : this.dispatch(input.event)),
      error: (error: unknown) => this.#end?.reject(error),
    });
    const leave = () => this.command(this.#parts.leave);
    if (signal.aborted) leave();
    signal.addEventListener('abort', leave, { once: true });
    try {
      return await ended;
    } finally {
      signal.removeEventListener('abort', leave);
      inputs.unsubscribe();
      this.#parts.watcher.stop();
      if (this.#parts.keepsLink !== true) await this.close();
    }
  }

  /** Closes the link, and ends the streams. */
  async close(): Promise<void> {
    this.#abort.abort();
    await this.#link?.then(
      (link) => link.close(),
      () => undefined,
    );
    for (const stream$ of [this.#states$, this.#prompts$, this.#readings$]) stream$.complete();
  }

  /**
   * Sets the probe and then has `whenSet` tell the watcher. Resolves to null. Resolves to the
   * refusal when the probe sees a voltage on the tips. A broken link resolves to null as well and
   * `whenSet` is not called: the link comes back by itself.
   */
  async setMode(request: Extract<Request, { type: 'mode' }>, whenSet: () => void): Promise<LinkError | null> {
    this.#parts.watcher.stop();
    const link = await this.link;
    try {
      await link.request(request).catch(async (error: unknown) => {
        if (!(error instanceof LinkError) || error.status !== 'busy') throw error;
        // a task that was given up may have left the bridge closed
        await link.request({ type: 'bridge', durationMs: 0 });
        await link.request(request);
      });
    } catch (error) {
      if (error instanceof LinkError && error.status === 'live') return error;
      this.unlessLinkBroke(error);
      return null;
    }
    whenSet();
    return null;
  }

  /**
   * A request that a broken link has swallowed ends nothing: the link finds the probe again. Any
   * other error ends the session.
   */
  unlessLinkBroke(error: unknown): void {
    if (!isLinkTrouble(error)) this.#end?.reject(error);
  }

  #take(item: LinkItem): void {
    const { watcher } = this.#parts;
    switch (item.kind) {
      case 'connected':
        this.#welcome(item).catch((error: unknown) => this.unlessLinkBroke(error));
        return;
      case 'readings':
        for (const event of watcher.readings(item.batch)) this.dispatch(event);
        this.#readings$.next(item.batch);
        return;
      case 'event':
        for (const event of watcher.probeEvent(item)) this.dispatch(event);
        return;
      case 'gap':
        for (const event of watcher.gap(item)) this.dispatch(event);
        return;
      case 'disconnected':
        watcher.stop();
        this.dispatch(this.#parts.lost(item.why));
        return;
    }
  }

  /**
   * A probe has answered: its calibration is read, its readings are started, then the session hears
   * of it.
   */
  async #welcome({ identity }: Extract<LinkItem, { kind: 'connected' }>): Promise<void> {
    const { probe, found, watcher } = this.#parts;
    const link = await this.link;
    const inForce = await probe.inForce(await link.readCalibration(), identity.probeSerial);
    const event = await found({ identity, path: link.path, inForce });
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    watcher.forget(feelsTips(identity));
    this.dispatch(event);
  }

  #step(event: Event): void {
    const before = this.#state;
    const { state, effects } = this.#parts.step(before, event);
    this.#state = state;
    this.#states$.next({ before, event, state });
    this.#effects.push(...effects);
    if (!this.#isWorking) this.#work().catch((error: unknown) => this.#end?.reject(error));
  }

  async #work(): Promise<void> {
    this.#isWorking = true;
    try {
      for (let effect = this.#effects.shift(); effect !== undefined; effect = this.#effects.shift()) {
        await this.#carryOut(effect);
      }
    } finally {
      this.#isWorking = false;
    }
  }

  async #carryOut(effect: Effect): Promise<void> {
    if (!isCommon(effect)) return this.#parts.carryOut(effect as Exclude<Effect, CommonEffect>, this);
    switch (effect.do) {
      case 'prompt': {
        const asked = this.#parts.asked?.(effect.prompt);
        if (asked !== undefined) this.dispatch(asked);
        this.#prompts$.next(effect.prompt);
        return;
      }
      case 'sound': {
        const link = await this.link;
        // a missed tone loses no evidence, so a link that just went away is left to its own report
        await link.request({ type: 'tone', ...sounds[effect.sound] }).catch(() => undefined);
        return;
      }
      case 'finish':
        this.#end?.resolve(this.#state);
        return;
    }
  }
}

function isCommon(effect: { do: string }): effect is CommonEffect {
  return effect.do === 'prompt' || effect.do === 'sound' || effect.do === 'finish';
}

/** Trouble that the link reports by itself, as `disconnected`, and mends by itself. */
function isLinkTrouble(error: unknown): boolean {
  return (
    error instanceof LinkError && ['link.lost', 'link.reset', 'link.no-answer', 'link.closed'].includes(error.code)
  );
}
