import type { ReadingsNotice } from '../../protocol/messages.ts';
import { frontEndTable } from '../../protocol/table.ts';

/** The largest sum that the converter can give: 16 conversions of 0 to 1023. */
const largestCode = frontEndTable.sumOf * (frontEndTable.converterCodes - 1);

/**
 * Returns why a batch of readings is none that a probe can have taken; null for a sound one.
 *
 * @param tUs the batch's time, counted on beyond wraps
 * @param beforeUs time of the batch before it, likewise; null: there is none
 */
export function whyMalformed(notice: ReadingsNotice, tUs: number, beforeUs: number | null): string | null {
  const { codes, periodUs } = notice;
  if (codes.length === 0) return 'it is empty';
  if (periodUs === 0) return 'its readings take no time';
  const beyond = codes.find((code) => code > largestCode);
  if (beyond !== undefined) return `its code ${beyond} is more than the converter can give`;
  if (beforeUs !== null && tUs <= beforeUs) return 'its clock stands still or runs back';
  return null;
}

/** One malformed batch weighs as much as this many sound ones. */
const weight = 4;
/**
 * Weight at which a probe is not listened to any more: 16 malformed batches in a row, or lastingly
 * more than one in five.
 */
const mostWeight = 64;

/** Weighs malformed batches against sound ones. */
export class MalformedShare {
  #weight = 0;

  /** Returns whether there were too many by now. */
  take(isMalformed: boolean): boolean {
    this.#weight = Math.max(0, this.#weight + (isMalformed ? weight : -1));
    return this.#weight >= mostWeight;
  }
}
