import { stringify } from 'csv-stringify/sync';
import { type OpenOutput, type OutputOptions, openOutput } from '../../files/write-output.ts';
import type { MeterLine } from '../../session/meter/meter-line.ts';

const columns = ['t_s', 'quantity', 'value', 'u', 'unit', 'state', 'seat_a', 'seat_b', 'voltage_on_tips'];

/**
 * Writes what a meter saw as comma-separated values, line by line as it comes: a crash loses a
 * line, not the session.
 */
export class MeterExport {
  readonly path: string;
  lines = 0;
  readonly #file: OpenOutput;
  #error: unknown = null;

  /** @throws FileError `output.exists` and others of its kind */
  constructor(path: string, options: OutputOptions = {}) {
    this.path = path;
    this.#file = openOutput(path, options);
    this.#put(columns);
  }

  add(line: MeterLine): void {
    if (this.#error !== null) return;
    this.lines += 1;
    this.#put(fieldsOf(line));
  }

  /** Ends the file. @throws FileError `output.failed` when something could not be written */
  close(): void {
    this.#file.close();
    if (this.#error !== null) throw this.#error;
  }

  #put(fields: readonly unknown[]): void {
    try {
      this.#file.write(stringify([fields]));
    } catch (error) {
      this.#error = error;
    }
  }
}

/**
 * Returns the fields of a line with full precision: rounding is for eyes. An open has no number,
 * only its state.
 */
function fieldsOf({ tUs, reading, seatA, seatB, live }: MeterLine): string[] {
  const { quantity, value, u, state } = reading;
  const number = (n: number): string => (Number.isFinite(n) ? String(n) : '');
  const unit = quantity === 'resistance' ? 'ohm' : 'V';
  return [(tUs / 1e6).toFixed(6), quantity, number(value), number(u), unit, state, seatA, seatB, live].map(String);
}
