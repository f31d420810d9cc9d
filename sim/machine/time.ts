/** Cycles of the probe's 16 MHz clock in one microsecond. */
export const cyclesPerUs = 16;
