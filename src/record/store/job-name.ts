/** Letters and digits of RFC 4648 base32, small: no 0, 1, 8 or 9 to take for a letter. */
const base32 = 'abcdefghijklmnopqrstuvwxyz234567';
const randomLength = 6;

/** Ending of a job record's file name. */
export const recordEnding = '.owjob';

/**
 * Returns the id of a new job, `2031-05-17-k3m7qa`: the day in UTC and six base32 characters (30
 * bits) of `random`, of which 6 bytes are needed.
 */
export function jobName(nowMs: number, random: Uint8Array): string {
  if (random.length < randomLength) throw new RangeError(`a job name needs ${randomLength} random bytes`);
  const day = new Date(nowMs).toISOString().slice(0, 10);
  const drawn = Array.from(random.subarray(0, randomLength), (byte) => base32[byte & 31]).join('');
  return `${day}-${drawn}`;
}
