import type { Decision, Reading } from '../../measure/types.ts';
import { judgeReading, type RawReading } from '../judge-reading.ts';

/** Returns what a captured window reads in volt, and what that comes to against the check's limits. */
export function judgeVoltage(raw: RawReading): Decision & { reading: Reading } {
  return judgeReading(raw);
}
