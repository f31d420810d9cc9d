// Draws a working day on a terminal that only takes frames, as fast as it goes, and prints what the heap held on the way, as JSON.
// Every reading of the day passes through the live state, job follows job through the reducer, and of every so many batches one frame is
// drawn, with keys pressed now and then and the terminal resized. Started with --expose-gc: HOURS.
import { setImmediate as turn } from 'node:timers/promises';
import { parseGuide } from '../../src/checks/guides.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { noReadings, withBatch } from '../../src/session/engine/recent-readings.ts';
import { recordStream } from '../bench/recorded-stream.ts';
import { resistorBoardText } from '../bench/resistor-board.ts';
import { captured, connected, DryBench, lift, make } from '../support/dry-bench.ts';
import { built, fakeTerminal } from '../support/fake-terminal.ts';

/** What the heap held, in bytes, and what was done meanwhile. */
export interface SoakReport {
  readonly samples: number[];
  readonly frames: number;
  readonly readings: number;
  readonly jobs: number;
  /** Characters written to the terminal. */
  readonly written: number;
}

process.env.NODE_ENV = 'production';
const { createElement } = await import('react');
const { openTerminalScreen } = await built<typeof import('../../src/faces/screen/terminal/terminal-screen.tsx')>(
  'faces/screen/terminal/terminal-screen.js',
);
const { BenchScreen } = await built<typeof import('../../src/faces/screen/job/bench-screen.tsx')>(
  'faces/screen/job/bench-screen.js',
);
const { jobView } = await built<typeof import('../../src/view/job/job-view.ts')>('view/job/job-view.js');
const { uiStep } = await built<typeof import('../../src/view/job/keys.ts')>('view/job/keys.js');
const { freshUi } = await built<typeof import('../../src/view/job/keyboard.ts')>('view/job/keyboard.js');

const hours = Number(process.argv[2] ?? 8);
const hourUs = 3600e6;
/** What is compiled and kept once grows into the second hour: 3 % of the heap, and then no more. */
const warmUpHours = 2;
const samplesAnHour = 4;
const batchesAFrame = 1000;
/** A touch takes some seconds of a day, a key comes now and then, the window is resized rarely. */
const framesATouch = 3;
const framesAKey = 41;
const framesAResize = 997;
const sizes = [
  [80, 24],
  [120, 40],
  [100, 30],
  [40, 10],
] as const;
const keys = ['?', ' ', 'w', 'n', 'o', 't', 'e', 'ESC', 'c', 'ESC', 'q', 'x', 'p', 'p'];

const parsed = parseGuide(resistorBoardText([47], 30), 'row.yaml');
if (!parsed.ok) throw new Error('the board of resistors is no guide');
const { guide } = parsed;
const newJob = (): DryBench => new DryBench(guide).give(connected).touch(0.002).happen(make, captured(100));

let written = 0;
const fake = fakeTerminal((text) => {
  written += text.length;
});
const stage = openTerminalScreen(fake.terminal, { onKey: () => undefined, onResize: () => undefined }, 10_000);
const stream = recordStream('standard', 8);
const theme = { colour: true, unicode: true, background: 'dark' } as const;
stage.broken.catch((error: unknown) => {
  throw error;
});
let bench = newJob();
let live = noReadings();
let ui = freshUi();
let size: (typeof sizes)[number] = sizes[0];
let frames = 0;
let readings = 0;
let jobs = 1;
let batches = 0;
const samples: number[] = [];

/** One frame of the day, and what happens at the bench meanwhile. */
function drawNext(): void {
  frames += 1;
  if (frames % framesATouch === 0) bench.happen(make, captured(30 + (frames % 40)));
  if (frames % framesATouch === 1) bench.happen(lift);
  if (bench.state.phase === 'closed') {
    bench = newJob();
    jobs += 1;
  }
  if (frames % framesAKey === 0) {
    const key = keys[(frames / framesAKey) % keys.length]!;
    const press = key === 'ESC' ? { input: '', escape: true } : { input: key };
    const step = uiStep(ui, press, jobView(bench.state, live, ui));
    ui = step.ui;
    bench.give(...step.events);
  }
  if (frames % framesAResize === 0) {
    size = sizes[(frames / framesAResize) % sizes.length]!;
    fake.resize(size[0], size[1]);
  }
  const [cols, rows] = size;
  stage.show(createElement(BenchScreen, { view: jobView(bench.state, live, ui), cols, rows, theme }));
}

function heapBytes(): number {
  // twice: what the first pass finds through finalizers goes in the second
  globalThis.gc?.();
  globalThis.gc?.();
  return process.memoryUsage().heapUsed;
}

let nextUs = warmUpHours * hourUs;
for (let pass = 0; pass * stream.spanUs < hours * hourUs; pass++) {
  for (const batch of stream.batches(pass)) {
    live = withBatch(live, batch, nominalCalibration);
    readings += batch.codes.length;
    batches += 1;
    if (batches % batchesAFrame !== 0) continue;
    drawNext();
    await turn();
  }
  if (pass * stream.spanUs < nextUs) continue;
  nextUs += hourUs / samplesAnHour;
  samples.push(heapBytes());
}
await stage.leave();
const report: SoakReport = { samples, frames, readings, jobs, written };
process.stdout.write(JSON.stringify(report));
