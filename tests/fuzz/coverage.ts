import { registerHooks } from 'node:module';
import { fileURLToPath } from 'node:url';
// @ts-expect-error: it brings no types
import instrument from 'istanbul-lib-instrument';

interface FileCounters {
  s: Record<number, number>;
  f: Record<number, number>;
  b: Record<number, number[]>;
}

interface Instrumenter {
  instrumentSync(code: string, file: string): string;
}

const source = new URL('../../src/', import.meta.url).href;

/** From here on each file of `src/` that is imported counts its statements, branches and functions. */
export function countFromNowOn(): void {
  const instrumenter: Instrumenter = instrument.createInstrumenter({
    esModules: true,
    compact: false,
    parserPlugins: ['typescript', 'jsx'],
    coverageVariable: '__counted__',
  });
  registerHooks({
    load(url, context, next) {
      const loaded = next(url, context);
      if (!url.startsWith(source) || !url.endsWith('.ts')) return loaded;
      return { ...loaded, source: instrumenter.instrumentSync(String(loaded.source), fileURLToPath(url)) };
    },
  });
}

/** A count falls into one of eight classes, so that a loop run more often is something new. */
function classOf(count: number): number {
  if (count < 4) return 1 << (count - 1);
  if (count < 8) return 8;
  if (count < 16) return 16;
  if (count < 32) return 32;
  return count < 128 ? 64 : 128;
}

/** The counters of every instrumented file, read and set back after each execution. */
export class Coverage {
  readonly #lists: Record<number, number>[] = [];
  readonly #lengths: number[] = [];
  readonly #isStatements: boolean[] = [];
  readonly #seen: Uint8Array;

  /** Takes the files that were imported so far. */
  constructor() {
    const files = Object.values((globalThis as { __counted__?: Record<string, FileCounters> }).__counted__ ?? {});
    for (const { s, f, b } of files) {
      this.#add(s, true);
      this.#add(f, false);
      for (const branch of Object.values(b)) this.#add(branch, false);
    }
    this.#seen = new Uint8Array(this.#lengths.reduce((sum, length) => sum + length, 0));
    this.reset();
  }

  #add(list: Record<number, number>, isStatements: boolean): void {
    this.#lists.push(list);
    this.#lengths.push(Object.keys(list).length);
    this.#isStatements.push(isStatements);
  }

  /** How many counters there are, and how many were ever met. */
  get extent(): { counters: number; met: number } {
    return { counters: this.#seen.length, met: this.#seen.reduce((met, bits) => met + (bits === 0 ? 0 : 1), 0) };
  }

  reset(): void {
    this.#lists.forEach((list, at) => {
      for (let i = 0; i < this.#lengths[at]!; i++) list[i] = 0;
    });
  }

  /** Forgets what was met, so that a corpus can be told over again. */
  forget(): void {
    this.#seen.fill(0);
  }

  /**
   * Returns the statements since the last call, and what of the counters was new. Sets all of them
   * back. With `keep` false what was new stays new.
   */
  take(keep: boolean): { steps: number; fresh: number } {
    let steps = 0;
    let fresh = 0;
    let base = 0;
    for (let at = 0; at < this.#lists.length; at++) {
      const list = this.#lists[at]!;
      const length = this.#lengths[at]!;
      const isStatements = this.#isStatements[at]!;
      for (let i = 0; i < length; i++) {
        const count = list[i]!;
        if (count === 0) continue;
        list[i] = 0;
        if (isStatements) steps += count;
        const bit = classOf(count);
        if ((this.#seen[base + i]! & bit) !== 0) continue;
        fresh += 1;
        if (keep) this.#seen[base + i]! |= bit;
      }
      base += length;
    }
    return { steps, fresh };
  }
}
