/** The fields of a batch of readings that this room looks at; the protocol's batch has them all. Times unwrapped, in microseconds since the probe's boot. */
export interface ReadingBatch {
  index: number;
  tUs: number;
  periodUs: number;
  range: number;
  flags: {
    input: 'tips' | 'short' | 'check' | 'open';
    level: 'normal' | 'dry';
    excitation: boolean;
    voltage: boolean;
    live: boolean;
    seatA: boolean;
    seatB: boolean;
    auto: boolean;
  };
  flagBits: number;
  lost: number;
  /** Running count of the open comparator's edges, modulo 65536. */
  edges: number;
  codes: Uint16Array;
}
