import { type ChildProcess, type SpawnOptions, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { afterAll, afterEach, beforeAll } from 'vitest';
import { buildIfStale, mainFile } from './built.ts';
import { departuresFromForm } from './printed-json.ts';

/** How a process ended. */
export interface Ending {
  code: number | null;
  signal: NodeJS.Signals | null;
}

/** Lines of one stream: those that came, and the wait for the one that comes. */
export class Lines {
  readonly all: string[] = [];
  readonly #waiting = new Set<() => void>();
  #ended = false;

  constructor(stream: Readable) {
    const lines = createInterface({ input: stream });
    lines.on('line', (line) => {
      this.all.push(line);
      for (const look of [...this.#waiting]) look();
    });
    lines.on('close', () => {
      this.#ended = true;
      for (const look of [...this.#waiting]) look();
    });
  }

  /** Returns the first line at or behind `from` that matches, now or as soon as it comes. Rejects when the stream ends without one. */
  find(pattern: RegExp, from = 0): Promise<{ line: string; index: number }> {
    let at = from;
    return new Promise((resolve, reject) => {
      const look = () => {
        for (; at < this.all.length; at++) {
          const line = this.all[at]!;
          if (!pattern.test(line)) continue;
          this.#waiting.delete(look);
          resolve({ line, index: at });
          return;
        }
        if (!this.#ended) return;
        this.#waiting.delete(look);
        reject(new Error(`no line ${pattern} came:\n${this.all.join('\n')}`));
      };
      this.#waiting.add(look);
      look();
    });
  }

  /** Calls back with every line, those that came before included. */
  each(onLine: (line: string) => void): void {
    let at = 0;
    const look = () => {
      while (at < this.all.length) onLine(this.all[at++]!);
    };
    this.#waiting.add(look);
    look();
  }

  get text(): string {
    return this.all.join('\n');
  }
}

const running = new Set<Program>();
/** Every program of the test in hand, ended ones too: their stories tell why it failed. */
const started: Program[] = [];

/** The built program in a process of its own. */
export class Program {
  readonly child: ChildProcess;
  readonly out: Lines;
  readonly said: Lines;
  readonly ended: Promise<Ending>;

  constructor(command: string, args: string[], options: SpawnOptions = {}) {
    const child = spawn(command, args, { stdio: ['pipe', 'pipe', 'pipe'], ...options });
    this.child = child;
    this.out = new Lines(child.stdout!);
    this.said = new Lines(child.stderr!);
    // a program that has ended reads no more
    child.stdin?.on('error', () => undefined);
    this.ended = new Promise((resolve, reject) => {
      child.on('error', reject);
      child.on('close', (code, signal) => {
        running.delete(this);
        resolve({ code, signal });
      });
    });
    running.add(this);
    started.push(this);
  }

  type(line: string): void {
    this.child.stdin?.write(`${line}\n`);
  }

  kill(signal: NodeJS.Signals): void {
    this.child.kill(signal);
  }

  /** What it was and what it said, for whoever looks into a failed test. */
  get story(): string {
    return `${this.child.spawnargs.join(' ')}\n${this.out.text}\n--- said:\n${this.said.text}`;
  }

  /** The last line of data, as JSON. */
  get json(): unknown {
    return JSON.parse(this.out.all.at(-1) ?? 'null');
  }
}

/** Starts `ohmwright` with arguments. */
export function ohmwright(args: string[], options: SpawnOptions = {}): Program {
  return new Program(process.execPath, [mainFile, ...args], options);
}

/** Runs `ohmwright` to its end. */
export async function ran(args: string[], options: SpawnOptions = {}): Promise<Program & { ending: Ending }> {
  const program = ohmwright(args, options);
  program.child.stdin?.end();
  const ending = await program.ended;
  const [departure] = await departuresFromForm(args, program.out.all);
  if (departure !== undefined) throw new Error(departure);
  return Object.assign(program, { ending });
}

/** Registers with the test file: the program is built before, and whatever still runs after a test is ended. */
export function killProgramsAfterwards(): void {
  beforeAll(() => buildIfStale(), 60_000);
  const endAll = async () => {
    const left = [...running];
    for (const program of left) program.kill('SIGKILL');
    await Promise.all(left.map((program) => program.ended));
  };
  afterEach(async ({ task }) => {
    if (task.result?.state === 'fail') for (const program of started) console.log(program.story);
    started.length = 0;
    await endAll();
  });
  afterAll(endAll);
}
