/**
 * Rows of so many 32-bit numbers, each distinct one kept once and numbered in the order of its
 * first coming.
 */
export class DistinctRows {
  readonly #width: number;
  #count = 0;
  #rows: Int32Array<ArrayBuffer>;
  /** Open addressing: the number of a row, or -1. */
  #places: Int32Array;

  constructor(width: number) {
    this.#width = width;
    this.#rows = new Int32Array(256 * width);
    this.#places = new Int32Array(1024).fill(-1);
  }

  /**
   * Returns the number of the row that begins at a place of `from`. Single-precision numbers are
   * told apart by their bits.
   */
  add(from: Int32Array, at: number): number {
    const mask = this.#places.length - 1;
    for (let place = this.#hash(from, at) & mask; ; place = (place + 1) & mask) {
      const known = this.#places[place]!;
      if (known === -1) return this.#put(from, at, place);
      if (this.#isSame(known, from, at)) return known;
    }
  }

  /** Returns the distinct rows, one after the other. */
  rows(): Int32Array<ArrayBuffer> {
    return this.#rows.slice(0, this.#count * this.#width);
  }

  #hash(from: Int32Array, at: number): number {
    let hash = 0;
    for (let k = 0; k < this.#width; k++) hash = Math.imul(hash ^ from[at + k]!, 0x9e3779b1) ^ (hash >>> 15);
    return hash ^ (hash >>> 16);
  }

  #isSame(row: number, from: Int32Array, at: number): boolean {
    const start = row * this.#width;
    for (let k = 0; k < this.#width; k++) if (this.#rows[start + k] !== from[at + k]) return false;
    return true;
  }

  #put(from: Int32Array, at: number, place: number): number {
    const start = this.#count * this.#width;
    if (start + this.#width > this.#rows.length) {
      const grown = new Int32Array(2 * this.#rows.length);
      grown.set(this.#rows);
      this.#rows = grown;
    }
    for (let k = 0; k < this.#width; k++) this.#rows[start + k] = from[at + k]!;
    this.#places[place] = this.#count++;
    if (2 * this.#count > this.#places.length) this.#spread();
    return this.#count - 1;
  }

  #spread(): void {
    this.#places = new Int32Array(2 * this.#places.length).fill(-1);
    const mask = this.#places.length - 1;
    for (let row = 0; row < this.#count; row++) {
      let place = this.#hash(this.#rows, row * this.#width) & mask;
      while (this.#places[place] !== -1) place = (place + 1) & mask;
      this.#places[place] = row;
    }
  }
}
