import * as beliefScale from './belief-scale.ts';
import type { Benchmark } from './benchmark.ts';
import * as classification from './classification.ts';
import * as emulatorSpeed from './emulator-speed.ts';
import * as hostCpu from './host-cpu.ts';
import * as memory from './memory.ts';
import * as pipeline from './pipeline.ts';
import * as population from './population.ts';
import * as screenCost from './screen-cost.ts';
import * as screenCpu from './screen-cpu.ts';
import * as startUp from './start-up.ts';
import * as touchToCaptured from './touch-to-captured.ts';

/** Every benchmark, in the order in which they run: one at a time, so that none disturbs another. */
export const benchmarks: readonly Benchmark[] = [
  pipeline,
  touchToCaptured,
  classification,
  hostCpu,
  screenCpu,
  screenCost,
  startUp,
  memory,
  emulatorSpeed,
  beliefScale,
  population,
];
