import type { Check } from '../../src/guide/types.ts';
import type { Answer } from '../../src/ports/prompt.ts';
import type { TestBench, TipPlace } from '../bench.ts';
import { type Random, randomOf } from '../random.ts';
import type { Move } from './moves.ts';
import { type HandsPrompt, humanUs, movesFor } from './prompt-moves.ts';
import { landTips, liftTips } from './tip-motion.ts';

type MoveOf<D extends Move['do']> = Extract<Move, { do: D }>;

/** Options of {@link Hands}. */
export interface HandsOptions {
  readonly bench: TestBench;
  /** The checks that prompts name; the device's own if not given. */
  readonly checks?: readonly Check[];
  /** The probe's button. */
  readonly button: (down: boolean) => void;
  readonly seed: number;
  /**
   * Chance that a tip slides off after landing, touches something else for a moment and has to come
   * back; 0..1, default 0.01.
   */
  readonly slipRate?: number;
  /** Chance that a look question is answered wrongly; 0..1, default 0. */
  readonly answerErrorRate?: number;
  /** Factor on reaction and travel times; default 1, a person. */
  readonly pace?: number;
}

/** Opening and closing the device, far quicker than in life: it isn't what is simulated. */
const accessUs = 1_000e3;
/** Presses come to a beat of 2 a second, held down for less than half of it. */
const beatUs = 500e3;
const pressedUs = 180e3;

/**
 * A person's two hands over probe time: does moves one after another, from a script or from a
 * session's prompts.
 *
 * Everything random is drawn from the seed in the order of the moves, so the same prompts at the
 * same probe times give the same motions.
 */
export class Hands {
  /** Called when a look question was answered. */
  onAnswer: ((id: string, answer: Answer) => void) | undefined;
  /** Called when a prompt's moves are done: the tips rest where asked, the presses are over. */
  onDone: ((id: string) => void) | undefined;
  readonly #bench: TestBench;
  readonly #checks: readonly Check[];
  readonly #button: (down: boolean) => void;
  readonly #random: Random;
  readonly #slipRate: number;
  readonly #answerErrorRate: number;
  readonly #pace: number;
  readonly #queue: ((done: () => void) => void)[] = [];
  #busy = false;
  readonly #heldKeys = new Set<string>();
  readonly #taken = new Set<string>();
  /** When the tips last came down: a response before that is none to them. */
  #touchedUs = 0;
  #stopTremor: () => void = () => undefined;

  constructor(options: HandsOptions) {
    this.#bench = options.bench;
    this.#checks = options.checks ?? options.bench.device.guide.checks;
    this.#button = options.button;
    this.#random = randomOf(options.seed, 'hands');
    this.#slipRate = options.slipRate ?? 0.01;
    this.#answerErrorRate = options.answerErrorRate ?? 0;
    this.#pace = options.pace ?? 1;
  }

  /** True while moves are under way or waiting. */
  get isBusy(): boolean {
    return this.#busy || this.#queue.length > 0;
  }

  /** Takes a prompt; the same id twice is one prompt. */
  prompt(prompt: HandsPrompt): void {
    if (this.#taken.has(prompt.id)) return;
    this.#taken.add(prompt.id);
    const bench = this.#bench;
    const random = this.#random;
    const answerErrorRate = this.#answerErrorRate;
    const moves = movesFor(prompt, { bench, checks: this.#checks, random, answerErrorRate, pace: this.#pace });
    this.perform(moves, () => this.onDone?.(prompt.id));
  }

  /** Puts moves at the end of what is to be done; `done` is called after the last one. */
  perform(moves: readonly Move[], done: () => void = () => undefined): void {
    for (const move of moves) this.#queue.push((next) => this.#start(move, next));
    this.#queue.push((next) => {
      done();
      next();
    });
    this.#next();
  }

  /** Forgets moves that have not begun. */
  cancel(): void {
    this.#queue.length = 0;
  }

  #next(): void {
    if (this.#busy) return;
    const first = this.#queue.shift();
    if (first === undefined) return;
    this.#busy = true;
    first(() => {
      this.#busy = false;
      this.#next();
    });
  }

  #after(us: number, run: () => void): void {
    const { clock } = this.#bench;
    clock.at(clock.nowUs + us, run);
  }

  #start(move: Move, done: () => void): void {
    const act = this.#acts[move.do] as (move: Move, done: () => void) => void;
    act(move, done);
  }

  /** How each move is made; `done` is called when the hands are free again. */
  readonly #acts: { readonly [D in Move['do']]: (move: MoveOf<D>, done: () => void) => void } = {
    wait: ({ us }, done) => this.#after(us, done),
    touch: ({ pads: [a, b] }, done) => {
      const slips = this.#random.uniform() < this.#slipRate;
      const slipTo = slips ? this.#bench.device.guide.pads.map((pad) => pad.id) : [];
      this.#land(
        [
          { on: 'pad', pad: a },
          { on: 'pad', pad: b },
        ],
        slipTo,
        done,
      );
    },
    short: (_move, done) => this.#land([{ on: 'tips' }, { on: 'tips' }], [], done),
    lift: (_move, done) => {
      this.#stopTremor();
      for (const key of this.#heldKeys) this.#bench.device.moveKey(key, false);
      this.#heldKeys.clear();
      liftTips(this.#bench, this.#random, done);
    },
    hold: ({ key }, done) => {
      this.#heldKeys.add(key);
      this.#bench.device.moveKey(key, true);
      this.#after(50e3, done);
    },
    release: ({ key }, done) => {
      this.#heldKeys.delete(key);
      this.#bench.device.moveKey(key, false);
      this.#after(50e3, done);
    },
    press: ({ key, count }, done) => this.#pressNext(key, count, done),
    access: ({ access }, done) => this.#open(access, done),
    power: ({ power }, done) => {
      this.#bench.device.setPower(power);
      done();
    },
    repair: ({ repair }, done) => {
      this.#bench.device.repair(repair);
      done();
    },
    replace: ({ unit }, done) => {
      this.#bench.device.replace(unit);
      done();
    },
    button: ({ us }, done) => this.#for(us, (isOn) => this.#button(isOn), done),
    flex: ({ us }, done) => this.#for(us, (isOn) => this.#bench.device.flex(isOn), done),
    answer: ({ id, answer }, done) => {
      this.onAnswer?.(id, answer);
      done();
    },
    tell: ({ id, input }, done) => {
      this.onAnswer?.(id, this.#seen(input));
      done();
    },
  };

  /** Lifts the tips and puts them down elsewhere. */
  #land(places: readonly [TipPlace, TipPlace], slipTo: string[], done: () => void): void {
    const bench = this.#bench;
    const random = this.#random;
    this.#stopTremor();
    liftTips(bench, random, () =>
      landTips({ bench, random, places, slipTo }, (stop) => {
        this.#stopTremor = stop;
        this.#touchedUs = bench.clock.nowUs;
        done();
      }),
    );
  }

  /** Takes the device apart, or puts it together, as far as a check asks for. */
  #open(access: MoveOf<'access'>['access'], done: () => void): void {
    const bench = this.#bench;
    if (access === bench.device.access) {
      done();
      return;
    }
    liftTips(bench, this.#random, () =>
      this.#after(humanUs(this.#random, this.#pace * accessUs), () => {
        bench.device.setAccess(access);
        done();
      }),
    );
  }

  /** Does something for so long, and then no more. */
  #for(us: number, doIt: (isOn: boolean) => void, done: () => void): void {
    doIt(true);
    this.#after(us, () => {
      doIt(false);
      done();
    });
  }

  #seen(input: string): Answer {
    const { display } = this.#bench.device;
    if (!display.isReadable) return 'unsure';
    const responded = display.shownSince(this.#touchedUs).some((shown) => shown.input === input);
    const isWrong = this.#random.uniform() < this.#answerErrorRate;
    return responded !== isWrong ? 'yes' : 'no';
  }

  #pressNext(key: string, count: number, done: () => void): void {
    if (count === 0) {
      done();
      return;
    }
    const heldUs = pressedUs * Math.exp(0.1 * this.#random.normalWithin(3));
    this.#bench.device.moveKey(key, true);
    this.#after(heldUs, () => {
      this.#bench.device.moveKey(key, false);
      this.#after(Math.max(0, beatUs - heldUs), () => this.#pressNext(key, count - 1, done));
    });
  }
}
