import type { Check } from '../src/guide/types.ts';
import type { Bench } from './bench.ts';
import type { Answer, Move } from './moves.ts';
import { type Random, randomOf } from './random.ts';
import { landTips, liftTips } from './tip-motion.ts';

/** What a live session asks of whoever holds the tips. */
export interface Prompt {
  readonly id: string;
  readonly act: 'touch' | 'lift' | 'short-tips' | 'press' | 'power' | 'answer' | 'button' | 'wait';
  readonly pads?: readonly [string, string];
  /** Key to press `count` times. */
  readonly key?: string;
  /** Keys to hold down during a touch; those of the check if not given. */
  readonly held?: readonly string[];
  readonly count?: number;
  readonly power?: 'on' | 'off';
  readonly check?: string;
  readonly question?: string;
}

/** Options of {@link Hands}. */
export interface HandsOptions {
  readonly bench: Bench;
  /** The probe's button. */
  readonly button: (down: boolean) => void;
  readonly seed: number;
  /** Chance that a tip slides off after landing, touches something else for a moment and has to come back; 0..1, default 0.01. */
  readonly slipRate?: number;
  /** Chance that a look question is answered wrongly; 0..1, default 0. */
  readonly answerErrorRate?: number;
  /** Factor on reaction and travel times; default 1, a person. */
  readonly pace?: number;
}

/** Reaction to a prompt, way to a pad, time to find a switch or to judge by eye: medians in microseconds; common practice, no source. */
const reactionUs = 280e3;
const travelUs = 400e3;
const switchUs = 600e3;
const lookUs = 1_200e3;
/** Opening and closing the device, far quicker than in life: it isn't what is simulated. */
const accessUs = 1_000e3;
const timeLogSpread = 0.25;
/** Presses come to a beat of 2 a second, held down for less than half of it. */
const beatUs = 500e3;
const pressedUs = 180e3;
const buttonUs = 80e3;

/**
 * A person's two hands over probe time: does moves one after another, from a script or from a session's prompts.
 *
 * Everything random is drawn from the seed in the order of the moves, so the same prompts at the same probe times give the same motions.
 */
export class Hands {
  /** Called when a look question was answered. */
  onAnswer: ((id: string, answer: Answer) => void) | undefined;
  /** Called when a prompt's moves are done: the tips rest where asked, the presses are over. */
  onDone: ((id: string) => void) | undefined;
  private readonly bench: Bench;
  private readonly button: (down: boolean) => void;
  private readonly random: Random;
  private readonly slipRate: number;
  private readonly answerErrorRate: number;
  private readonly pace: number;
  private readonly queue: ((done: () => void) => void)[] = [];
  private busy = false;
  private readonly heldKeys = new Set<string>();
  private readonly taken = new Set<string>();
  private stopTremor: () => void = () => undefined;

  constructor(options: HandsOptions) {
    this.bench = options.bench;
    this.button = options.button;
    this.random = randomOf(options.seed, 'hands');
    this.slipRate = options.slipRate ?? 0.01;
    this.answerErrorRate = options.answerErrorRate ?? 0;
    this.pace = options.pace ?? 1;
  }

  /** True while moves are under way or waiting. */
  get isBusy(): boolean {
    return this.busy || this.queue.length > 0;
  }

  /** Takes a prompt; the same id twice is one prompt. */
  prompt(prompt: Prompt): void {
    if (this.taken.has(prompt.id)) return;
    this.taken.add(prompt.id);
    this.perform(this.movesFor(prompt), () => this.onDone?.(prompt.id));
  }

  /** Puts moves at the end of what is to be done; `done` is called after the last one. */
  perform(moves: readonly Move[], done: () => void = () => undefined): void {
    for (const move of moves) this.queue.push((next) => this.start(move, next));
    this.queue.push((next) => {
      done();
      next();
    });
    this.next();
  }

  /** Forgets moves that have not begun. */
  cancel(): void {
    this.queue.length = 0;
  }

  private next(): void {
    if (this.busy) return;
    const first = this.queue.shift();
    if (first === undefined) return;
    this.busy = true;
    first(() => {
      this.busy = false;
      this.next();
    });
  }

  private movesFor(prompt: Prompt): Move[] {
    const react: Move = { do: 'wait', us: this.humanUs(reactionUs) };
    const travel: Move = { do: 'wait', us: this.humanUs(travelUs) };
    const check = this.bench.device.guide.checks.find((one) => one.id === prompt.check);
    switch (prompt.act) {
      case 'touch':
        if (prompt.pads === undefined) return [];
        return [
          react,
          { do: 'lift' },
          ...toReach(check),
          ...keysToHold(prompt, check),
          travel,
          { do: 'touch', pads: prompt.pads },
        ];
      case 'lift':
        return [react, { do: 'lift' }];
      case 'short-tips':
        return [react, { do: 'lift' }, travel, { do: 'short' }];
      case 'press': {
        if (prompt.key === undefined) return [];
        const pads = prompt.pads ?? (check?.kind === 'presses' ? check.pads : undefined);
        const press: Move = { do: 'press', key: prompt.key, count: prompt.count ?? 1 };
        if (pads === undefined || this.isOn(pads)) return [react, press];
        return [react, { do: 'lift' }, ...toReach(check), travel, { do: 'touch', pads }, react, press];
      }
      case 'power':
        return [react, { do: 'wait', us: this.humanUs(switchUs) }, { do: 'power', power: prompt.power ?? 'on' }];
      case 'answer':
        return [
          { do: 'wait', us: this.humanUs(lookUs) },
          { do: 'answer', answer: this.look(check), id: prompt.id },
        ];
      case 'button':
        return [react, { do: 'button', us: buttonUs }];
      case 'wait':
        // tips off everything, as asked
        return this.tipsAreUp ? [] : [react, { do: 'lift' }];
    }
  }

  private get tipsAreUp(): boolean {
    return this.bench.tipAt('a').on === 'air' && this.bench.tipAt('b').on === 'air';
  }

  private isOn(pads: readonly [string, string]): boolean {
    const a = this.bench.tipAt('a');
    const b = this.bench.tipAt('b');
    return a.on === 'pad' && a.pad === pads[0] && b.on === 'pad' && b.pad === pads[1];
  }

  private look(check: Check | undefined): Answer {
    if (check?.kind !== 'look') return 'unsure';
    const seen = check.sees.some((one) =>
      this.bench.device.faults.some((fault) => fault.link === one.link && fault.mode === one.mode),
    );
    const wrong = this.random.uniform() < this.answerErrorRate;
    const opposite = check.passAnswer === 'yes' ? 'no' : 'yes';
    return seen !== wrong ? opposite : check.passAnswer;
  }

  private humanUs(medianUs: number): number {
    return this.pace * medianUs * Math.exp(timeLogSpread * this.random.normalWithin(3));
  }

  private after(us: number, run: () => void): void {
    const { clock } = this.bench;
    clock.at(clock.nowUs + us, run);
  }

  private start(move: Move, done: () => void): void {
    const { bench, random } = this;
    switch (move.do) {
      case 'wait':
        this.after(move.us, done);
        return;
      case 'touch':
      case 'short': {
        this.stopTremor();
        const places =
          move.do === 'short'
            ? ([{ on: 'tips' }, { on: 'tips' }] as const)
            : ([
                { on: 'pad', pad: move.pads[0] },
                { on: 'pad', pad: move.pads[1] },
              ] as const);
        const otherPads = bench.device.guide.pads.map((pad) => pad.id);
        const slips = move.do === 'touch' && random.uniform() < this.slipRate;
        liftTips(bench, random, () =>
          landTips({ bench, random, places, slipTo: slips ? otherPads : [] }, (stop) => {
            this.stopTremor = stop;
            done();
          }),
        );
        return;
      }
      case 'lift':
        this.stopTremor();
        for (const key of this.heldKeys) bench.device.moveKey(key, false);
        this.heldKeys.clear();
        liftTips(bench, random, done);
        return;
      case 'hold':
        this.heldKeys.add(move.key);
        bench.device.moveKey(move.key, true);
        this.after(50e3, done);
        return;
      case 'release':
        this.heldKeys.delete(move.key);
        bench.device.moveKey(move.key, false);
        this.after(50e3, done);
        return;
      case 'press':
        this.pressNext(move.key, move.count, done);
        return;
      case 'access':
        if (move.access === bench.device.access) done();
        else
          liftTips(bench, random, () =>
            this.after(this.humanUs(accessUs), () => {
              bench.device.setAccess(move.access);
              done();
            }),
          );
        return;
      case 'power':
        bench.device.setPower(move.power);
        done();
        return;
      case 'button':
        this.button(true);
        this.after(move.us, () => {
          this.button(false);
          done();
        });
        return;
      case 'answer':
        this.onAnswer?.(move.id, move.answer);
        done();
    }
  }

  private pressNext(key: string, count: number, done: () => void): void {
    if (count === 0) {
      done();
      return;
    }
    const heldUs = pressedUs * Math.exp(0.1 * this.random.normalWithin(3));
    this.bench.device.moveKey(key, true);
    this.after(heldUs, () => {
      this.bench.device.moveKey(key, false);
      this.after(Math.max(0, beatUs - heldUs), () => this.pressNext(key, count - 1, done));
    });
  }
}

/** A check tells how far the device is taken apart for it. */
const toReach = (check: Check | undefined): Move[] =>
  check === undefined ? [] : [{ do: 'access', access: check.access }];

function keysToHold(prompt: Prompt, check: Check | undefined): Move[] {
  const keys = prompt.held ?? (check !== undefined && 'pressed' in check ? check.pressed : []);
  return keys.map((key): Move => ({ do: 'hold', key }));
}
