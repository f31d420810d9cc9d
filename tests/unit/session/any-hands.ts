// Tips, cable and a person that mostly do as they are told, and at times anything.
import type { Random } from '../../../sim/random.ts';
import { codeOfOhm, rangeCalibration } from '../../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { CaptureWindow, ContactEvent, ContactSummary, PressSummary } from '../../../src/measure/types.ts';
import { enumTable, flagBits } from '../../../src/protocol/table.ts';
import type { Entry } from '../../../src/record/entries/entries.ts';
import { windowsIn } from '../../../src/record/kinds/stored-kinds.ts';
import type { JobSessionEvent, JobSessionState, ProbeMode } from '../../../src/session/job/job-session-state.ts';
import { connected } from '../../support/dry-bench.ts';

/** A guide with one check of each kind that a single touch, a key or a look decides. */
export const guideText = `
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
/** Makes events from a random stream, and knows which of them were of something good. */
export class AnyHands {
  /** What the probe was last set to; null: nothing yet. */
  mode: ProbeMode | null = null;
  readonly #random: Random;
  #state!: JobSessionState;
  #tUs = 1_000_000;
  /** Times of the windows in which something good was at the tips. */
  readonly #good = new Set<number>();
  /** What the person answered last. */
  #answered: string | null = null;

  constructor(random: Random) {
    this.#random = random;
  }

  /** Returns the next event at a session: mostly what is asked for, at times anything. */
  next(state: JobSessionState): JobSessionEvent {
    this.#state = state;
    return this.#event();
  }

  /** Returns whether an entry rests on what was good: only such an entry may pass. */
  bearsPass(entry: Entry): boolean {
    if (entry.kind === 'observation') return this.#answered === 'yes';
    const windows = windowsIn(entry).map(({ window }) => window);
    return windows.length > 0 && windows.every(({ tUs }) => this.#good.has(tUs));
  }

  /** Another job: nothing of the one before counts. */
  forget(): void {
    this.#good.clear();
    this.#answered = null;
  }

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
    const mode = this.mode ?? { mode: 'resistance', level: 'normal', input: 'tips' };
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
