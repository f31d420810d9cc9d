import type { Observable } from 'rxjs';
import type { GapItem } from '../../link/probe/link-item.ts';
import type { LinkItem, ProbeLink } from '../../link/probe/probe-link.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { CalibrationBlockState } from '../../protocol/calibration-block.ts';
import type { ProbeIdentity } from '../../protocol/messages.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import type { InForce } from './calibration-in-force.ts';
import type { Engine } from './engine.ts';
import type { Sound } from './sounds.ts';

/** The probe of a session. */
export interface SessionProbe {
  /** Opens the link and gives every item of it, in order, to `onItem`. */
  connect(onItem: (item: LinkItem) => void, signal: AbortSignal): Promise<ProbeLink>;
  /** Resolves to the calibration in force, given what the probe's own calibration area holds. */
  inForce(stored: CalibrationBlockState, probeSerial: number): Promise<InForce>;
  /** Stops the probe's clock while the host does slow work. Only a link in virtual time has it. */
  hold?: (() => () => void) | undefined;
}

/** A probe that has answered. */
export interface FoundProbe {
  identity: ProbeIdentity;
  /** Name of the port, for people. */
  path: string;
  inForce: InForce;
}

/**
 * Makes events of what the link tells. It keeps what it has seen of a touch; it is told when the
 * probe is set anew.
 */
export interface ReadingWatcher<Event> {
  /** A probe was found, just now or again. `feelsTips`: it has seat sense. */
  forget(feelsTips: boolean): void;
  /** The probe is being set, or is away: readings mean nothing until it is set. */
  stop(): void;
  readings(batch: ReadingBatch): Event[];
  probeEvent(event: Extract<LinkItem, { kind: 'event' }>): Event[];
  gap(gap: GapItem): Event[];
}

/** Effects that the engine itself carries out, for every session. */
export type CommonEffect =
  | { do: 'prompt'; prompt: Prompt }
  | { do: 'sound'; sound: Sound }
  /** The session ends. */
  | { do: 'finish' };

/** What makes a session of its kind. */
export interface SessionParts<State, Event extends object, Effect extends { do: string }> {
  /** The state before the first event. */
  state: State;
  /** The reducer. Pure: the same state and event always give the same. */
  step(state: State, event: Event): { state: State; effects: readonly Effect[] };
  watcher: ReadingWatcher<Event>;
  probe: SessionProbe;
  /** Returns the event of a probe that was found. */
  found(probe: FoundProbe): Event | Promise<Event>;
  /** Returns the event of a link that went away. */
  lost(why: string): Event;
  /** Returns the event of a prompt that is given to the faces; omitted where the state need not know. */
  asked?(prompt: Prompt): Event;
  /** The event of an aborted signal. */
  leave: Event;
  /** The link stays open after the end, until the session is closed. */
  keepsLink?: boolean;
  /** Carries out one effect. The next one waits for it. What it throws ends the session. */
  carryOut(effect: Exclude<Effect, CommonEffect>, engine: Engine<State, Event, Effect>): Promise<void>;
}

/** One step of a session. */
export interface StateChange<State, Event> {
  before: State;
  event: Event;
  state: State;
}

/** A session as a face sees it. */
export interface ShownSession<State, Event> {
  readonly state: State;
  readonly states$: Observable<StateChange<State, Event>>;
  readonly prompts$: Observable<Prompt>;
  readonly readings$: Observable<ReadingBatch>;
  command(event: Event): void;
}
