/** Exit codes, as README.md documents them. */
export const exitCodes = {
  passed: 0,
  failed: 1,
  usage: 2,
  inconclusive: 3,
  port: 4,
  link: 5,
  record: 6,
  notVerifiable: 7,
  interrupted: 130,
} as const;

export const usageExit = exitCodes.usage;
export const inconclusiveExit = exitCodes.inconclusive;
export const interruptedExit = exitCodes.interrupted;

export const exitCodesHelp = `
Exit codes:
  0  done; a job: every check passed, or passes after a repair, with a proved probe
  1  a check failed, or a fault was found; a probe drifts; a calibration is refused
  2  usage, or a bad file
  3  inconclusive: something stayed unknown; no fault found, with checks left undone; a calibration or limits in doubt
  4  port: none, busy or forbidden
  5  link: not a probe, another protocol version, or lost
  6  record: damaged, in use, or not to be stored
  7  record: not verifiable by this version
  130  interrupted`;
