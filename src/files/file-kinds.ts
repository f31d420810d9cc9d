const kiB = 1024;
const miB = 1024 * kiB;

/**
 * What files from elsewhere may hold at most, in bytes: far more than any of its kind needs, far
 * less than the memory of a small computer.
 */
export const mostBytes = {
  /** A guide of 1,000 links has about 150 kB. */
  guide: 4 * miB,
  'resistor set': miB,
  'table of values': 16 * miB,
  script: miB,
  settings: 64 * kiB,
  key: 64 * kiB,
  calibration: 4 * miB,
  /** A long day at the bench comes to a few megabytes; entries take some twenty times their bytes in memory. */
  record: 32 * miB,
  'index of records': 64 * miB,
  /** A line for each state of a record that a ledger took: 300 bytes each. */
  arrivals: 1024 * miB,
  'ledger backup': 2000 * miB,
  lock: 64 * kiB,
  /** A day at the probe's full rate has less than 1 GB. */
  'byte log': 1024 * miB,
  /** A photo of a good camera has about 12 MB. */
  picture: 24 * miB,
} as const;

/** What a file is read as; in words for people. */
export type FileKind = keyof typeof mostBytes;
