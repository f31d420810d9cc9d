import { PassThrough } from 'node:stream';
import { CommanderError } from 'commander';
import { runCli } from '../../src/cli/program/program.ts';
import { OhmwrightError } from '../../src/errors/ohmwright-error.ts';
import type { EndingSignal, Terminal } from '../../src/faces/screen/terminal/terminal.ts';
import { departuresFromForm } from './printed-json.ts';

/** A terminal in memory: what a command prints is kept, what a person types and when they interrupt is up to the test. */
export class FakeTerminal implements Terminal {
  readonly outLines: string[] = [];
  readonly saidLines: string[] = [];
  readonly stdin = new PassThrough();
  /** Nobody sits at it. */
  readonly screen = null;
  readonly env: Record<string, string | undefined>;
  readonly cwd: string;
  /** Called with each line of talk. */
  onSaid: (line: string) => void = () => undefined;
  /** Called with each line of data. */
  onOut: (line: string) => void = () => undefined;
  #onInterrupt: (signal: EndingSignal) => void = () => undefined;

  constructor(cwd: string) {
    this.cwd = cwd;
    // programs under test have the tests' own key and settings
    const { OHMWRIGHT_KEY, OHMWRIGHT_CONFIG } = process.env;
    this.env = { OHMWRIGHT_KEY, OHMWRIGHT_CONFIG };
  }

  out(text: string): void {
    for (const line of linesOf(text)) {
      this.outLines.push(line);
      this.onOut(line);
    }
  }

  say(text: string): void {
    for (const line of linesOf(text)) {
      this.saidLines.push(line);
      this.onSaid(line);
    }
  }

  now(): Date {
    return new Date(0);
  }

  random(): number {
    return 0.5;
  }

  onInterrupt(callback: (signal: EndingSignal) => void): () => void {
    this.#onInterrupt = callback;
    return () => {
      this.#onInterrupt = () => undefined;
    };
  }

  #readerGone: () => void = () => undefined;

  onReaderGone(callback: () => void): void {
    this.#readerGone = callback;
  }

  /** Whoever read the output goes away. */
  closeOutput(): void {
    this.#readerGone();
  }

  interrupt(signal: EndingSignal = 'SIGINT'): void {
    this.#onInterrupt(signal);
  }

  /** Code of the error that ended the command; null when none did. */
  errorCode: string | null = null;

  onError(error: unknown): void {
    this.errorCode = error instanceof OhmwrightError || error instanceof CommanderError ? error.code : String(error);
  }

  beforeEnd(): () => void {
    return () => undefined;
  }

  get said(): string {
    return this.saidLines.join('\n');
  }

  /** The only line of data, as JSON. */
  get json(): unknown {
    if (this.outLines.length !== 1) throw new Error(`${this.outLines.length} lines of data, not one`);
    return JSON.parse(this.outLines[0]!);
  }
}

const linesOf = (text: string): string[] => text.replace(/\n$/, '').split('\n');

/** Runs one command line in this process; `prepare` may set what happens meanwhile. */
export async function cli(
  cwd: string,
  args: string[],
  prepare: (terminal: FakeTerminal) => void = () => undefined,
): Promise<{ code: number; terminal: FakeTerminal }> {
  const terminal = new FakeTerminal(cwd);
  prepare(terminal);
  const code = await runCli(args, terminal);
  terminal.stdin.destroy();
  const [departure] = await departuresFromForm(args, terminal.outLines);
  if (departure !== undefined) throw new Error(departure);
  return { code, terminal };
}
