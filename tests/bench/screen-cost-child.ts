// A job on the live screen in one process: emulated probe and hands in real time, a terminal that only takes frames. Prints what was timed, as JSON.
// Started by screen-cost.ts: MEASURED-MS. The built program is looked at, since Node.js itself runs no .tsx.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { JobFace } from '../../src/cli/job/job-session.ts';
import { printerOn } from '../../src/cli/program/printer.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { noReadings, withBatch } from '../../src/session/engine/recent-readings.ts';
import type { JobSessionState } from '../../src/session/job/job-session-state.ts';
import { built, fakeTerminal } from '../support/fake-terminal.ts';
import { batchesOf, recordStream } from './recorded-stream.ts';
import { resistorBoardText } from './resistor-board.ts';

/** Times in milliseconds. */
export interface ScreenTimes {
  /** To compute a view, lay it out, and write what changed, for each frame. */
  readonly frames: number[];
  /** From a key to the first frame that shows what it did. */
  readonly keys: number[];
  /** From the entry synced to disk to the first frame with its outcome. */
  readonly captured: number[];
}

const measuredFrames = 200;
/** As many as come between two frames. */
const batchesAFrame = 9;
/** No multiple of the frame time, so that keys fall anywhere between two frames. */
const keyEveryMs = 131;
const [measuredMs = 8_000] = process.argv.slice(2).map(Number);
process.env.NODE_ENV = 'production';
const { jobScreen } = await built<typeof import('../../src/cli/job/job-screen.tsx')>('cli/job/job-screen.js');
const { runJob } = await built<typeof import('../../src/cli/job/job-session.ts')>('cli/job/job-session.js');
const { openingOf } = await built<typeof import('../../src/cli/job/open-job.ts')>('cli/job/open-job.js');
const { fallbacksOf } =
  await built<typeof import('../../src/cli/program/option-kinds.ts')>('cli/program/option-kinds.js');
const { session: sessionOptions } = await built<typeof import('../../src/cli/program/program-options.ts')>(
  'cli/program/program-options.js',
);
const { parseGuide } = await built<typeof import('../../src/checks/guides.ts')>('checks/guides.js');
const { JobRecord } = await built<typeof import('../../src/record/store/record.ts')>('record/store/record.js');

const text = resistorBoardText([47], 200);
const parsed = parseGuide(text, 'row.yaml');
if (!parsed.ok) throw new Error('the board of resistors is no guide');
const folder = mkdtempSync(join(tmpdir(), 'ohmwright-screen-cost-'));
const record = await JobRecord.create(
  folder,
  openingOf(parsed.guide, { text, sha256: '0'.repeat(64) }, { revision: 'A' }),
);

const keys: number[] = [];
const captured: number[] = [];
let pressedMs: number | null = null;
let syncedMs: number | null = null;
const fake = fakeTerminal((written) => {
  const nowMs = performance.now();
  // words that stand on the help page only, and beside a reading that was captured
  if (pressedMs !== null && written.includes('answer what is asked')) {
    keys.push(nowMs - pressedMs);
    pressedMs = null;
  }
  if (syncedMs !== null && written.includes('on record')) {
    captured.push(nowMs - syncedMs);
    syncedMs = null;
  }
});
const startMs = performance.now();
const stop = new AbortController();
const context = { terminal: printerOn(fake.terminal), signal: stop.signal };
const job = runJob(
  parsed.guide,
  record,
  { ...fallbacksOf(sessionOptions), port: 'sim:', realTime: true },
  context,
  async (options, given): Promise<JobFace> => {
    const face = await jobScreen(options, given);
    return {
      ...face,
      join(session) {
        face.join(session);
        session.states$.subscribe(({ event }) => {
          if (event.type === 'appended' && event.entry.kind === 'capture') syncedMs = performance.now();
        });
      },
    };
  },
);
// keys first, while nothing is captured yet; then hands off the keys, since an open help page would hide what is captured
for (let presses = 0; performance.now() - startMs < measuredMs / 3; presses++) {
  await wait(keyEveryMs);
  const opens = presses % 2 === 0;
  if (opens) pressedMs = performance.now();
  fake.key(opens ? '?' : ' ');
}
fake.key(' ');
syncedMs = null;
await wait((measuredMs * 2) / 3);
stop.abort();
const last = await job;
await record.close();
rmSync(folder, { recursive: true, force: true });
const times: ScreenTimes = { frames: await drawFrames(last), keys, captured };
process.stdout.write(JSON.stringify(times));

/** Returns what single frames cost while readings stream: one after another, each let through by Ink's own limit. */
async function drawFrames(state: JobSessionState): Promise<number[]> {
  const { openTerminalScreen } = await built<typeof import('../../src/faces/screen/terminal/terminal-screen.tsx')>(
    'faces/screen/terminal/terminal-screen.js',
  );
  const { BenchScreen } = await built<typeof import('../../src/faces/screen/job/bench-screen.tsx')>(
    'faces/screen/job/bench-screen.js',
  );
  const { jobView } = await built<typeof import('../../src/view/job/job-view.ts')>('view/job/job-view.js');
  const { freshUi } = await built<typeof import('../../src/view/job/keyboard.ts')>('view/job/keyboard.js');
  const { createElement } = await import('react');
  const stage = openTerminalScreen(fakeTerminal(() => undefined).terminal, {
    onKey: () => undefined,
    onResize: () => undefined,
  });
  const stream = recordStream('standard', 8);
  const theme = { colour: true, unicode: true, background: 'dark' } as const;
  const running = { ...state, phase: 'running', connected: true, ending: null } as JobSessionState;
  let live = noReadings();
  const costs: number[] = [];
  let batches = 0;
  for (const batch of batchesOf(stream, batchesAFrame * measuredFrames)) {
    live = withBatch(live, batch, nominalCalibration);
    batches += 1;
    if (batches % batchesAFrame !== 0) continue;
    await wait(1000 / 60 + 2);
    const beganMs = performance.now();
    const view = jobView(running, live, freshUi());
    stage.show(createElement(BenchScreen, { view, cols: 80, rows: 24, theme }));
    costs.push(performance.now() - beganMs);
  }
  await stage.leave();
  return costs;
}
