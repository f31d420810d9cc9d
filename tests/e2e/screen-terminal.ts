// A pseudo-terminal with a terminal emulator on it: what a person sees of the built program, and the keys they press.
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type IPty, spawn } from '@lydell/node-pty';
import xterm from '@xterm/headless';

export const program = fileURLToPath(new URL('../../dist/src/cli/main.js', import.meta.url));
const root = fileURLToPath(new URL('../../', import.meta.url));
if (!existsSync(program)) throw new Error('there is no build to test: run `npm run build` first');

/** A screen that has not come by then will not come. */
const giveUpMs = 20_000;

export interface SeenOptions {
  cols?: number;
  rows?: number;
  env?: Record<string, string>;
  cwd?: string;
}

/** Returns a shell line that runs the built program, and says how it ended and how it left the terminal. */
function toldBy(args: string[]): string {
  const quoted = [process.execPath, program, ...args].map((arg) => `'${arg.replaceAll("'", "'\\''")}'`).join(' ');
  return `${quoted}; echo "left with $?"; stty -a`;
}

/** The state letter of a process as proc(5) gives it; null when it is gone. */
function processState(pid: number): string | null {
  try {
    return /\) (\S)/.exec(readFileSync(`/proc/${pid}/stat`, 'utf8'))?.[1] ?? null;
  } catch {
    return null;
  }
}

/** Environment of a person at a terminal: nothing of a CI run or of this test's own runner. */
function personEnv(env: Record<string, string>): Record<string, string> {
  const { CI: _ci, NODE_ENV: _node, VITEST: _vitest, NO_COLOR: _colour, FORCE_COLOR: _force, ...rest } = process.env;
  const kept = Object.entries(rest).filter((pair): pair is [string, string] => pair[1] !== undefined);
  const ours = Object.fromEntries(kept.filter(([name]) => !/^(VITEST|GITHUB|CI_|BUILD_|CONTINUOUS_)/.test(name)));
  return { ...ours, TERM: 'xterm-256color', LANG: 'C.UTF-8', LC_ALL: 'C.UTF-8', ...env };
}

/** A terminal of which a test sees what a person sees. */
export class SeenTerminal {
  readonly ended: Promise<{ exitCode: number; signal: number | undefined }>;
  readonly pid: number;
  /** Everything that was written to the terminal. */
  written = '';
  #hasEnded = false;
  readonly #pty: IPty;
  readonly #screen: InstanceType<typeof xterm.Terminal>;
  #watchers: (() => boolean)[] = [];

  constructor(file: string, args: string[], { cols = 80, rows = 24, env = {}, cwd = root }: SeenOptions = {}) {
    this.#screen = new xterm.Terminal({ cols, rows, allowProposedApi: true, scrollback: 500 });
    // the terminal's own name wins over the environment's
    const name = env.TERM ?? 'xterm-256color';
    this.#pty = spawn(file, args, { name, cols, rows, cwd, env: personEnv(env) });
    this.pid = this.#pty.pid;
    this.#pty.onData((data) => {
      this.written += data;
      this.#screen.write(data, () => this.#look());
    });
    this.ended = new Promise((resolve) => {
      this.#pty.onExit(({ exitCode, signal }) => {
        // what was written last is on the screen before the end is told
        this.#screen.write('', () => {
          this.#hasEnded = true;
          resolve({ exitCode, signal });
          this.#look();
        });
      });
    });
  }

  /** The built program itself in the terminal. */
  static program(args: string[], options: SeenOptions = {}): SeenTerminal {
    return new SeenTerminal(process.execPath, [program, ...args], options);
  }

  /** The built program in a shell, which says afterwards how the program ended and how it left the terminal. */
  static shell(args: string[], options: SeenOptions = {}): SeenTerminal {
    return new SeenTerminal('/bin/sh', ['-c', toldBy(args)], options);
  }

  /** As {@link shell}; what the terminal gives to all of its programs (Ctrl-C) does not end the shell. */
  static trapping(args: string[], options: SeenOptions = {}): SeenTerminal {
    return new SeenTerminal('/bin/sh', ['-c', `trap : INT HUP TERM; ${toldBy(args)}`], options);
  }

  /** Resolves to the program's process id, once the shell has begun it. */
  async child(): Promise<number> {
    const children = `/proc/${this.pid}/task/${this.pid}/children`;
    for (;;) {
      const [pid] = readFileSync(children, 'utf8').trim().split(' ').map(Number);
      if (pid !== undefined && pid > 0) return pid;
      await new Promise((resolve) => setImmediate(resolve));
    }
  }

  /** Stops a process, and returns when it stands still: true; false if it has ended. */
  halt(pid: number): boolean {
    if (processState(pid) === null) return false;
    process.kill(pid, 'SIGSTOP');
    for (;;) {
      const state = processState(pid);
      if (state === 'T') return true;
      if (state === 'Z' || state === null) return false;
    }
  }

  /** Whether the last `stty -a` told of a terminal that a person can type at, by POSIX names. */
  get isSane(): boolean {
    return [/(?<!-)icanon/, /(?<!-)\becho\b/, /(?<!-)isig/, /(?<!-)icrnl/].every((flag) => flag.test(this.wholeText));
  }

  /**
   * Lines on the screen, without the blanks at their ends. Columns beyond its width are not on it:
   * the emulator keeps them when the alternate page gets narrower.
   */
  get lines(): string[] {
    const { active } = this.#screen.buffer;
    return Array.from(
      { length: this.#screen.rows },
      (_, row) => active.getLine(active.viewportY + row)?.translateToString(true, 0, this.#screen.cols) ?? '',
    );
  }

  get text(): string {
    return this.lines.join('\n');
  }

  /** Everything on the present page, with what was scrolled away. */
  get wholeText(): string {
    const { active } = this.#screen.buffer;
    return Array.from({ length: active.length }, (_, row) => active.getLine(row)?.translateToString(true) ?? '').join(
      '\n',
    );
  }

  get page(): 'normal' | 'alternate' {
    return this.#screen.buffer.active.type;
  }

  /** Whether the cursor was shown last, and bracketed paste is off: read from what was written. */
  get isCursorShown(): boolean {
    return this.written.lastIndexOf('\u001b[?25h') >= this.written.lastIndexOf('\u001b[?25l');
  }

  get modes() {
    return this.#screen.modes;
  }

  key(text: string): void {
    this.#pty.write(text);
  }

  resize(cols: number, rows: number): void {
    this.#screen.resize(cols, rows);
    this.#pty.resize(cols, rows);
  }

  /** Sends a signal to the program; in a shell, to the program and not to the shell. */
  kill(signal: NodeJS.Signals): void {
    const [child] = execFileSync('ps', ['-A', '-o', 'pid=,ppid='], { encoding: 'utf8' })
      .split('\n')
      .map((line) => line.trim().split(/\s+/).map(Number))
      .filter(([, parent]) => parent === this.pid);
    process.kill(child?.[0] ?? this.pid, signal);
  }

  /** Resolves with what `find` finds on the screen, as soon as it finds something. Rejects, with the screen, when it never does. */
  until<T>(find: (text: string) => T | null | undefined | false | '', what: string): Promise<T> {
    return new Promise((resolve, reject) => {
      const fail = (why: string): void => reject(new Error(`${why} this was seen: ${what}\n${this.wholeText}`));
      const giveUp = setTimeout(() => fail('time was up before'), giveUpMs);
      const look = (): boolean => {
        const found = find(this.text);
        const isFound = found !== null && found !== undefined && found !== false && found !== '';
        if (isFound) resolve(found);
        else if (this.#hasEnded) fail('the program ended before');
        else return false;
        clearTimeout(giveUp);
        return true;
      };
      if (!look()) this.#watchers.push(look);
    });
  }

  /** Ends the program if it is still there. */
  async close(): Promise<void> {
    if (!this.#hasEnded) this.#pty.kill('SIGKILL');
    await this.ended;
    this.#screen.dispose();
  }

  #look(): void {
    this.#watchers = this.#watchers.filter((look) => !look());
  }
}
