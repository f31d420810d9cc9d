import { madScale } from '../../statistics/robust.ts';

/**
 * The last readings of one range and flag set, kept so that each new one costs a few steps: a ring
 * for their order in time, the same codes sorted for median and spread, and two running sums for
 * the slope. Mutable; all in codes.
 */
export class SteadyWindow {
  readonly capacity: number;
  /** Readings held now. */
  size = 0;
  readonly #ring: Int32Array;
  readonly #sorted: Int32Array;
  /** Where the next reading goes in the ring. */
  #next = 0;
  #sum = 0;
  /** Sum of i * code, i counted from the oldest. Integers below 2^53: exact. */
  #weightedSum = 0;

  constructor(capacity: number) {
    this.capacity = capacity;
    this.#ring = new Int32Array(capacity);
    this.#sorted = new Int32Array(capacity);
  }

  get full(): boolean {
    return this.size === this.capacity;
  }

  clear(): void {
    this.size = 0;
    this.#next = 0;
    this.#sum = 0;
    this.#weightedSum = 0;
  }

  /** Takes a code in; the oldest leaves when full. */
  push(code: number): void {
    const { capacity } = this;
    const ring = this.#ring;
    const sorted = this.#sorted;
    if (this.size === capacity) {
      const oldest = ring[this.#next]!;
      this.#sum -= oldest;
      // every index moves down by one: each code but the oldest counts once less
      this.#weightedSum -= this.#sum;
      this.#replaceSorted(oldest, code);
      this.#weightedSum += (capacity - 1) * code;
    } else {
      let at = this.size;
      while (at > 0 && sorted[at - 1]! > code) {
        sorted[at] = sorted[at - 1]!;
        at--;
      }
      sorted[at] = code;
      this.#weightedSum += this.size * code;
      this.size++;
    }
    this.#sum += code;
    ring[this.#next] = code;
    this.#next = this.#next + 1 === capacity ? 0 : this.#next + 1;
  }

  /**
   * Median of an odd number of codes, the upper of the middle two of an even number. NaN when
   * empty.
   */
  get median(): number {
    return this.size === 0 ? Number.NaN : this.#sorted[this.size >> 1]!;
  }

  get lowest(): number {
    return this.size === 0 ? Number.NaN : this.#sorted[0]!;
  }

  get highest(): number {
    return this.size === 0 ? Number.NaN : this.#sorted[this.size - 1]!;
  }

  /**
   * Scaled median absolute deviation, walking outward from the median in the sorted codes. NaN when
   * empty.
   */
  get spread(): number {
    const { size } = this;
    const sorted = this.#sorted;
    const half = size >> 1;
    const middle = this.median;
    let left = half;
    let right = half + 1;
    let deviation = Number.NaN;
    for (let k = 0; k <= half && k < size; k++) {
      const below = left >= 0 ? middle - sorted[left]! : Number.POSITIVE_INFINITY;
      const above = right < size ? sorted[right]! - middle : Number.POSITIVE_INFINITY;
      if (below <= above) {
        deviation = below;
        left--;
      } else {
        deviation = above;
        right++;
      }
    }
    return madScale * deviation;
  }

  /**
   * Change from the first to the last reading along the least-squares line; 0 for fewer than two
   * readings.
   */
  get change(): number {
    const n = this.size;
    if (n < 2) return 0;
    const slope = (12 * this.#weightedSum - 6 * (n - 1) * this.#sum) / (n * (n * n - 1));
    return slope * (n - 1);
  }

  /** Returns the codes from the oldest to the newest. */
  codes(): number[] {
    const first = this.size === this.capacity ? this.#next : 0;
    return Array.from({ length: this.size }, (_, i) => this.#ring[(first + i) % this.capacity]!);
  }

  #replaceSorted(old: number, code: number): void {
    const { size } = this;
    const sorted = this.#sorted;
    let low = 0;
    let high = size - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sorted[middle]! < old) low = middle + 1;
      else high = middle;
    }
    if (code >= old) {
      while (low < size - 1 && sorted[low + 1]! < code) {
        sorted[low] = sorted[low + 1]!;
        low++;
      }
    } else {
      while (low > 0 && sorted[low - 1]! > code) {
        sorted[low] = sorted[low - 1]!;
        low--;
      }
    }
    sorted[low] = code;
  }
}
