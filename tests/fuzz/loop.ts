import { randomOf } from '../../sim/random.ts';
import type { Coverage } from './coverage.ts';
import { mutated, wordsOf } from './mutate.ts';
import { resultOf, resultText } from './properties.ts';
import type { Draw, FuzzTarget } from './target.ts';

/** An input that broke a property, and how. */
interface Finding {
  input: Uint8Array;
  why: string;
}

export interface FuzzResult {
  executions: number;
  /** Inputs that are worth keeping, smallest first. */
  corpus: Uint8Array[];
  findings: Finding[];
  coverage: { counters: number; met: number };
  /** Most statements of one execution. */
  mostSteps: number;
}

interface FuzzOptions {
  executions: number;
  seed: number;
  corpus: readonly Uint8Array[];
  coverage: Coverage;
  /** Told before each execution, so that somebody else can see one that does not end. */
  onInput(input: Uint8Array): void;
  onProgress(executions: number, kept: number, met: number): void;
}

/** One execution in so many is done twice, to see whether it gives the same. */
const againEvery = 8;
const progressEvery = 20_000;
const mostFindings = 20;
/** Executions that a new input may cost while it is made shorter. */
const mostTrims = 96;

/** Runs changed inputs, keeps each that reaches what none reached before, and changes those again. */
export function fuzz(target: FuzzTarget, options: FuzzOptions): FuzzResult {
  const { executions, coverage } = options;
  const draw = drawOf(options.seed, target.name);
  const words = wordsOf(target);
  const pool: Uint8Array[] = [];
  const findings = new Map<string, Finding>();
  let done = 0;
  let mostSteps = 0;

  /** Runs one input; returns how much of what it met is new. */
  const execute = (input: Uint8Array, keep: boolean): number => {
    done += 1;
    options.onInput(input);
    let why: string | null = null;
    let result: unknown;
    try {
      result = resultOf(target, input);
    } catch (error) {
      why = error instanceof Error ? (error.stack ?? error.message) : String(error);
    }
    const { steps, fresh } = coverage.take(keep);
    mostSteps = Math.max(mostSteps, steps);
    const { base, aByte } = target.mostSteps;
    if (steps > base + aByte * input.length) why ??= `${steps} steps for ${input.length} bytes`;
    if (why === null && done % againEvery === 0) {
      why = whyNotAgain(target, input, result);
      coverage.reset();
    }
    if (why !== null) note(input, why);
    return why === null ? fresh : 0;
  };
  const note = (input: Uint8Array, why: string): void => {
    const kind = why.replace(/\d+/g, '0').split('\n').slice(0, 3).join('\n');
    const before = findings.get(kind);
    if (before === undefined || before.input.length > input.length) findings.set(kind, { input, why });
  };
  /** Takes stretches out of an input for as long as it still reaches something new. */
  const trimmed = (input: Uint8Array): Uint8Array => {
    let now = input;
    const fresh = execute(input, false);
    let tries = 0;
    for (let length = now.length >> 1; length >= 1 && tries < mostTrims; length >>= 1) {
      for (let at = 0; at + length <= now.length && tries < mostTrims; tries++) {
        const less = new Uint8Array(Buffer.concat([now.subarray(0, at), now.subarray(at + length)]));
        const sealed = target.seal?.(less) ?? less;
        coverage.reset();
        if (sealed.length < now.length && execute(sealed, false) >= fresh) now = sealed;
        else at += length;
      }
    }
    return now;
  };

  for (const input of [...options.corpus, ...target.seeds()]) {
    if (execute(input, true) > 0 || pool.length === 0) pool.push(input);
  }
  while (done < executions && findings.size < mostFindings) {
    // newer ones are likelier: they have been changed less
    const pick = Math.floor(pool.length * Math.sqrt(draw.below(1 << 16) / (1 << 16)));
    const input = mutated(target, pool[pick]!, draw.of(pool), words, draw);
    if (target.seal !== undefined) coverage.reset();
    if (execute(input, false) > 0) {
      const short = trimmed(input);
      coverage.reset();
      if (execute(short, true) > 0) pool.push(short);
    }
    if (done % progressEvery === 0) options.onProgress(done, pool.length, coverage.extent.met);
  }
  const extent = coverage.extent;
  const corpus = minimised(pool, (input) => {
    coverage.reset();
    return execute(input, true);
  });
  return { executions: done, corpus, findings: [...findings.values()], coverage: extent, mostSteps };

  /** The shortest inputs first; each of the others only for what those before it do not reach. */
  function minimised(inputs: readonly Uint8Array[], freshOf: (input: Uint8Array) => number): Uint8Array[] {
    coverage.forget();
    return inputs.toSorted((a, b) => a.length - b.length).filter((input) => freshOf(input) > 0);
  }
}

/** Returns how a second run differs from the first one; null when it does not. */
export function whyNotAgain(target: FuzzTarget, input: Uint8Array, result: unknown): string | null {
  try {
    const isSame = resultText(resultOf(target, input), input) === resultText(result, input);
    return isSame ? null : 'a second run gave another result';
  } catch (error) {
    return error instanceof Error ? (error.stack ?? error.message) : String(error);
  }
}

/** Returns what a seed draws; the same for the same name. */
export function drawOf(seed: number, name: string): Draw {
  const random = randomOf(seed, name);
  return {
    below: (count) => random.integer(0, count - 1),
    of: (list) => list[random.integer(0, list.length - 1)]!,
  };
}
