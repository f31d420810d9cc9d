import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { chainOf, wholeJob } from '../../support/sample-job.ts';
import type { FuzzTarget } from '../target.ts';
import { records } from './records.ts';

/** A job record held against the guide in it, which is as foreign as the rest. */
export const wholeRecords: FuzzTarget = {
  ...records,
  name: 'whole-records',
  executions: 50_000,
  mostBytes: 24_000,
  mostSteps: { base: 2_000_000, aByte: 1_000 },
  seeds: () => [chainOf(wholeJob()).bytes, chainOf(wholeJob(5)).bytes],
  run: (bytes) => verifyWhole(bytes),
};
