/** Name under which the emulated probe goes as a port, also where a `probe` entry says how it was reached. */
export const simulatedPort = 'sim:';
