/** Lines by which the firmware controls the front end. */
export interface Controls {
  /** Source resistor, 0..3 (PB0 low bit, PB1 high bit). */
  readonly source: number;
  /** PB2: gain 200 in place of 20. */
  readonly highGain: boolean;
  /** PB3: 20 mV level in place of 200 mV. */
  readonly dry: boolean;
  /** PB4: source connected. */
  readonly excitation: boolean;
  /** PD3: tips joined. */
  readonly bridge: boolean;
  /** PD5 low bit, PD7 high bit: 0 tips, 1 internal short, 2 check resistor, 3 open. */
  readonly input: number;
  /** PC3: test current of the seat sense. */
  readonly seatStrobe: boolean;
}

/** Returns the control lines in the pins that ports B, C and D drive high. */
export function controlsOf(b: number, c: number, d: number): Controls {
  return {
    source: b & 3,
    highGain: (b & 0x04) !== 0,
    dry: (b & 0x08) !== 0,
    excitation: (b & 0x10) !== 0,
    bridge: (d & 0x08) !== 0,
    input: ((d >> 5) & 1) | ((d >> 6) & 2),
    seatStrobe: (c & 0x08) !== 0,
  };
}

/** All lines low, as in reset. */
export const controlsInReset: Controls = controlsOf(0, 0, 0);
