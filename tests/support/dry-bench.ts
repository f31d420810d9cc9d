import { parseGuide } from '../../src/checks/guides.ts';
import type { Guide } from '../../src/guide/types.ts';
import { codeOfOhm, rangeCalibration } from '../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readWindow } from '../../src/measure/reading/read-window.ts';
import type { CaptureWindow, ContactEvent, ContactSummary } from '../../src/measure/types.ts';
import { flagBits } from '../../src/protocol/table.ts';
import type { Entry, NewEntry } from '../../src/record/entries/entries.ts';
import { emptyJob, foldEntry } from '../../src/record/state/fold.ts';
import { closingEntry } from '../../src/record/state/job-result.ts';
import type { Isolator } from '../../src/session/job/isolator.ts';
import { openJobState, stepJob } from '../../src/session/job/job-reducer.ts';
import type { Effect, JobSessionEvent, JobSessionState, JobSettings } from '../../src/session/job/job-session-state.ts';
import { plainBench } from './bench-settings.ts';

const guideText = `
guide: 1
id: two-contact-key
title: Dead key of a test device
device: { maker: Nobody, name: Thing, kind: test device }
revisions: { holds: [A] }
cautions:
  - { id: cell, title: Lithium cell, text: Unplug it. }
  - { id: live, title: Power on, text: Tips slip., when: power-on }
units:
  - { id: key, name: key unit, price: 5, minutes: 5 }
ground: GND
nodes: [GND, A, B, V]
pads:
  - { id: P, node: A, where: left }
  - { id: Q, node: B, where: right }
  - { id: G, node: GND, where: can }
links:
  - { id: path, from: A, to: B, kind: trace, ohm: 0.2 ohm, unit: key }
  - { id: pull, from: V, to: B, kind: resistor, ohm: 10 kohm, unit: key }
rails:
  - { id: v, node: V, volt: 1.8 V, ohm: 1 ohm }
checks:
  - { id: path, kind: resistance, title: Path, pads: [P, Q], limits: max 1 ohm, prompt: Touch both. }
  - { id: eyes, kind: look, title: Pads, question: Clean?, passAnswer: yes, prompt: Look. }
  - { id: idle, kind: voltage, title: Idle, power: on, pads: [Q, G], limits: 1.6..2 V, prompt: Touch both. }
repairs:
  - { id: fit, name: fit a new key unit, fixes: [path], price: 5, minutes: 5, success: 90 % }
`;

export function testGuide(): Guide {
  const parsed = parseGuide(guideText, 'test.yaml');
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.guide;
}

const contact: ContactSummary = {
  touchUs: 60_000,
  makes: 1,
  bounceUs: 0,
  dropOuts: { count: 0, longestUs: 0, totalUs: 0, subReading: 0 },
  settleUs: 20_000,
  seated: true,
};

/** Returns a steady window at a resistance, by the nominal calibration, with the little noise that a converter has. */
export function windowAt(ohm: number, tUs = 1_000_000): CaptureWindow {
  const range = ohm < 1.2 ? 0 : ohm < 100 ? 1 : ohm < 5700 ? 2 : ohm < 182e3 ? 3 : 4;
  const code = codeOfOhm(ohm, rangeCalibration(nominalCalibration, range, 'normal')!);
  const codes = Array.from({ length: 27 }, (_, i) => Math.min(16368, Math.round(code + ((i * 7) % 5) - 2)));
  const bits = flagBits.excitation | flagBits.seatA | flagBits.seatB | flagBits.auto;
  return { tUs, periodUs: 884, range, level: 'normal', flagBits: bits, codes };
}

export function captured(ohm: number): ContactEvent {
  const window = windowAt(ohm);
  return { kind: 'captured', tUs: 1_030_000, window, contact, reading: readWindow(window, nominalCalibration) };
}

export const lift: ContactEvent = { kind: 'lift', tUs: 1_100_000, contact };
export const make: ContactEvent = { kind: 'make', tUs: 1_000_000 };

export const connected: JobSessionEvent = {
  type: 'connected',
  identity: {
    protoMajor: 1,
    protoMinor: 0,
    fwMajor: 1,
    fwMinor: 0,
    fwBuild: 1,
    probeSerial: 7,
    capabilities: ['seatSense'],
    resetCause: ['powerOn'],
    bootCount: 1,
    maxPayload: 64,
  },
  path: '/dev/ttyUSB0',
  calibration: nominalCalibration,
  calibrationState: 'nominal',
  origin: null,
  drift: null,
};

/** How a dry bench is set up; by default in the guide's order, with nothing concluded. */
export interface DryHow {
  settings?: Partial<JobSettings>;
  isolator?: Isolator;
  onState?: (state: JobSessionState, event: JobSessionEvent) => void;
}

/** A session without link or disk: effects are carried out at once, entries go into a list. */
export class DryBench {
  state: JobSessionState;
  readonly entries: Entry[] = [];
  readonly effects: Effect[] = [];
  readonly #onState: (state: JobSessionState, event: JobSessionEvent) => void;

  constructor(guide: Guide = testGuide(), entries: Entry[] = [], how: DryHow = {}) {
    let job = emptyJob();
    for (const entry of entries) job = foldEntry(job, entry);
    this.entries.push(...entries);
    this.#onState = how.onState ?? (() => undefined);
    this.state = openJobState(guide, job, { ...plainBench, ...how.settings }, how.isolator ?? null);
  }

  /** Gives events one after another, each with everything that follows from it. */
  give(...events: JobSessionEvent[]): this {
    for (const event of events) this.#step(event);
    return this;
  }

  happen(...contactEvents: ContactEvent[]): this {
    return this.give(
      ...contactEvents.map((contactEvent): JobSessionEvent => ({ type: 'contact', contact: contactEvent })),
    );
  }

  /** Answers the question that is open. */
  answer(answer: 'yes' | 'no' | 'unsure'): this {
    const prompt = this.state.run?.prompt?.id ?? '';
    return this.give({ type: 'answer', prompt, answer, by: 'person' });
  }

  /** One touch from make to lift. */
  touch(ohm: number): this {
    return this.happen(make, captured(ohm), lift);
  }

  /** Through connection, cautions and opening proofs. */
  opened(): this {
    this.give(connected).answer('yes').answer('yes').touch(0.002);
    return this.happen(make, captured(100));
  }

  kinds(): string[] {
    return this.entries.map((entry) => entry.kind);
  }

  #step(event: JobSessionEvent): void {
    const { state, effects } = stepJob(this.state, event);
    this.state = state;
    this.#onState(state, event);
    this.effects.push(...effects);
    for (const effect of effects) {
      if (effect.do === 'append') this.#step({ type: 'appended', entry: this.#store(effect.entry) });
      else if (effect.do === 'close') {
        const { why, kind } = effect.ending;
        const entry = closingEntry(this.state.job, why, { abandoned: kind === 'abandoned' });
        this.#step({ type: 'appended', entry: this.#store(entry) });
      } else if (effect.do === 'mode') this.#step({ type: 'mode-set' });
      else if (effect.do === 'prompt') this.#step({ type: 'asked', prompt: effect.prompt });
    }
  }

  #store(entry: NewEntry): Entry {
    const stored = {
      ...entry,
      n: this.entries.length + 1,
      prev: '0'.repeat(64),
      at: '2026-01-01T00:00:00.000Z',
    } as Entry;
    this.entries.push(stored);
    return stored;
  }
}
