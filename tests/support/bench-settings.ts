import { type JobSettings, usualPace } from '../../src/session/job/job-session-state.ts';

/** A bench without isolation: checks in the guide's order, a person who may take any time, nothing acknowledged beforehand. */
export const plainBench: JobSettings = {
  ...usualPace,
  noContactAfterUs: null,
  acceptedCautions: [],
  order: 'guide',
  repair: 'ask',
};
