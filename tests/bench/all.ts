import type { Benchmark } from './benchmark.ts';
import * as calibratedError from './calibrated-error.ts';
import * as calibrationFit from './calibration-fit.ts';
import * as classification from './classification.ts';
import * as emulatorSpeed from './emulator-speed.ts';
import * as hostCpu from './host-cpu.ts';
import * as beliefScale from './isolation/belief-scale.ts';
import * as faultAndWear from './isolation/fault-and-wear.ts';
import * as inGuide from './isolation/in-guide.ts';
import * as leastMinutes from './isolation/least-minutes.ts';
import * as notInGuide from './isolation/not-in-guide.ts';
import * as population from './isolation/population.ts';
import * as throughFirmware from './isolation/through-firmware.ts';
import * as twoFaults from './isolation/two-faults.ts';
import * as wornContacts from './isolation/worn-contacts.ts';
import * as jobsList from './jobs-list.ts';
import * as memory from './memory.ts';
import * as pageLatency from './page-latency.ts';
import * as pipeline from './pipeline.ts';
import * as readingCost from './reading-cost.ts';
import * as recordAppend from './record-append.ts';
import * as reportTime from './report-time.ts';
import * as screenCost from './screen-cost.ts';
import * as screenCpu from './screen-cpu.ts';
import * as startUp from './start-up.ts';
import * as touchToCaptured from './touch-to-captured.ts';
import * as verifySpeed from './verify-speed.ts';

/** Every benchmark, in the order in which they run: one at a time, so that none disturbs another. */
export const benchmarks: readonly Benchmark[] = [
  pipeline,
  touchToCaptured,
  classification,
  calibratedError,
  readingCost,
  hostCpu,
  screenCpu,
  screenCost,
  pageLatency,
  calibrationFit,
  startUp,
  memory,
  emulatorSpeed,
  recordAppend,
  verifySpeed,
  jobsList,
  reportTime,
  beliefScale,
  inGuide,
  wornContacts,
  faultAndWear,
  twoFaults,
  notInGuide,
  leastMinutes,
  throughFirmware,
  population,
];
