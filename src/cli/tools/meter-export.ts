import { once } from 'node:events';
import { createWriteStream, type WriteStream } from 'node:fs';
import type { MeterLine } from '../../session/meter/meter-line.ts';

const heading = 't_s,quantity,value,u,unit,state,seat_a,seat_b,voltage_on_tips\n';

/** Writes what a meter saw as comma-separated values, line by line as it comes: a crash loses a line, not the session. */
export class MeterExport {
  readonly path: string;
  lines = 0;
  readonly #file: WriteStream;
  readonly #opened: Promise<unknown>;
  #error: Error | null = null;

  /** An existing file is not written over. */
  constructor(path: string) {
    this.path = path;
    this.#file = createWriteStream(path, { flags: 'wx' });
    this.#opened = once(this.#file, 'open');
    this.#opened.catch(() => undefined); // told by `ready`
    this.#file.on('error', (error) => {
      this.#error = error;
    });
    this.#file.write(heading);
  }

  /** Resolves when the file can be written. @throws the system's error, with its path */
  async ready(): Promise<void> {
    await this.#opened;
  }

  add(line: MeterLine): void {
    if (this.#error !== null) return;
    this.lines += 1;
    this.#file.write(csvLine(line));
  }

  /** Ends the file. @throws the system's error when something could not be written */
  async close(): Promise<void> {
    if (this.#error === null) await new Promise<void>((resolve) => this.#file.end(resolve));
    if (this.#error !== null) throw this.#error;
  }
}

/** Returns a line with full precision: rounding is for eyes. An open has no number, only its state. */
function csvLine({ tUs, reading, seatA, seatB, live }: MeterLine): string {
  const { quantity, value, u, state } = reading;
  const number = (n: number): string => (Number.isFinite(n) ? String(n) : '');
  const unit = quantity === 'resistance' ? 'ohm' : 'V';
  const fields = [(tUs / 1e6).toFixed(6), quantity, number(value), number(u), unit, state, seatA, seatB, live];
  return `${fields.join(',')}\n`;
}
