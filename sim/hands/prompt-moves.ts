import type { Check } from '../../src/guide/types.ts';
import type { Answer, Prompt } from '../../src/ports/prompt.ts';
import type { TestBench } from '../bench.ts';
import type { Random } from '../random.ts';
import type { Move } from './moves.ts';

/**
 * What hands need of a prompt: its words are for people. Beside what a session asks, a script's
 * author may ask for the button.
 */
export type HandsPrompt = Omit<Prompt, 'act' | 'text'> & { act: Prompt['act'] | 'button' };

/**
 * Reaction to a prompt, way to a pad, time to find a switch or to judge by eye: medians in
 * microseconds; common practice, no source.
 */
const reactionUs = 280e3;
const travelUs = 400e3;
const switchUs = 600e3;
const lookUs = 1_200e3;
const buttonUs = 80e3;
/** Flexing without a check that says how long. */
const flexUs = 4_000e3;
/** A repair, far quicker than in life: it isn't what is simulated. */
const repairUs = 2_000e3;
const timeLogSpread = 0.25;

/** Returns a human's time about a median, in microseconds, lognormal. */
export function humanUs(random: Random, medianUs: number): number {
  return medianUs * Math.exp(timeLogSpread * random.normalWithin(3));
}

/** Who moves, and where. */
export interface Mover {
  readonly bench: TestBench;
  readonly checks: readonly Check[];
  readonly random: Random;
  /** Factor on all human times. */
  readonly pace: number;
  /** Chance of a wrong answer to what only eyes can see. */
  readonly answerErrorRate: number;
}

/**
 * Returns the moves by which a person does what a prompt asks; none for a prompt that lacks what it
 * needs.
 */
export function movesFor(prompt: HandsPrompt, mover: Mover): Move[] {
  const { bench, random, pace } = mover;
  const wait = (medianUs: number): Move => ({ do: 'wait', us: humanUs(random, pace * medianUs) });
  const react = wait(reactionUs);
  const check = mover.checks.find((one) => one.id === prompt.check);
  const goTo = (pads: readonly [string, string]): Move[] => [
    { do: 'lift' },
    ...toReach(check),
    ...keysToHold(prompt, check),
    wait(travelUs),
    { do: 'touch', pads },
  ];
  switch (prompt.act) {
    case 'touch':
      return prompt.pads === undefined ? [] : [react, ...goTo(prompt.pads)];
    case 'lift':
      return [react, { do: 'lift' }];
    case 'short-tips':
      return [react, { do: 'lift' }, wait(travelUs), { do: 'short' }];
    case 'press': {
      if (prompt.key === undefined) return [];
      const pads = prompt.pads ?? (check?.kind === 'presses' ? check.pads : undefined);
      const press: Move = { do: 'press', key: prompt.key, count: prompt.count ?? 1 };
      return pads === undefined || isOn(bench, pads) ? [react, press] : [react, ...goTo(pads), wait(reactionUs), press];
    }
    case 'power':
      return [react, wait(switchUs), { do: 'power', power: prompt.power ?? 'on' }];
    case 'answer':
      if (check?.kind === 'bridge') return [wait(lookUs), { do: 'tell', input: check.input, id: prompt.id }];
      return [wait(lookUs), { do: 'answer', answer: look(check, mover), id: prompt.id }];
    case 'repair':
      if (prompt.repair === undefined) return [];
      return [
        react,
        { do: 'lift' },
        wait(repairUs),
        { do: 'repair', repair: prompt.repair },
        { do: 'answer', answer: 'yes', id: prompt.id },
      ];
    case 'choose':
      // what is to be done about a fault is no affair of the hands
      return [];
    case 'flex':
      return [react, { do: 'flex', us: check?.kind === 'steady' ? check.holdMs * 1e3 : flexUs }];
    case 'button':
      return [react, { do: 'button', us: buttonUs }];
    case 'wait':
      // tips off everything, as asked
      return bench.tipAt('a').on === 'air' && bench.tipAt('b').on === 'air' ? [] : [react, { do: 'lift' }];
  }
}

function isOn(bench: TestBench, pads: readonly [string, string]): boolean {
  const a = bench.tipAt('a');
  const b = bench.tipAt('b');
  return a.on === 'pad' && a.pad === pads[0] && b.on === 'pad' && b.pad === pads[1];
}

function look(check: Check | undefined, { bench, random, answerErrorRate }: Mover): Answer {
  if (check?.kind !== 'look') return 'unsure';
  const seen = check.sees.some((one) =>
    bench.device.faults.some((fault) => fault.link === one.link && fault.mode === one.mode),
  );
  const wrong = random.uniform() < answerErrorRate;
  const opposite = check.passAnswer === 'yes' ? 'no' : 'yes';
  return seen !== wrong ? opposite : check.passAnswer;
}

/** A check tells how far the device is taken apart for it. */
const toReach = (check: Check | undefined): Move[] =>
  check === undefined ? [] : [{ do: 'access', access: check.access }];

function keysToHold(prompt: HandsPrompt, check: Check | undefined): Move[] {
  const keys = prompt.held ?? (check !== undefined && 'pressed' in check ? check.pressed : []);
  return keys.map((key): Move => ({ do: 'hold', key }));
}
