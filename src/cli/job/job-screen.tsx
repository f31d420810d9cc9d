import { BenchScreen } from '../../faces/screen/job/bench-screen.tsx';
import { screenFace } from '../../faces/screen/terminal/paced-screen.ts';
import { lookOf } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { noReadings, withBatch, withoutTrace } from '../../session/engine/recent-readings.ts';
import { jobView } from '../../view/job/job-view.ts';
import { freshUi } from '../../view/job/keyboard.ts';
import { uiStep } from '../../view/job/keys.ts';
import type { Context } from '../program/context.ts';
import type { JobFace, WorkOptions } from './job-session.ts';

/** Returns the live screen as the face of a job's session. */
export async function jobScreen(options: WorkOptions, { terminal }: Context): Promise<JobFace> {
  const theme = lookOf(terminal, options);
  let live = noReadings();
  let ui = freshUi();
  return screenFace(terminal, {
    frame: (state, { cols, rows }) => (
      <BenchScreen view={jobView(state, live, ui)} cols={cols} rows={rows} theme={theme} />
    ),
    onKey(key, state) {
      const step = uiStep(ui, key, jobView(state, live, ui));
      ui = step.ui;
      return step.events;
    },
    onState({ event }, screen) {
      // readings of a link that went away are not the present
      if (event.type === 'disconnected') live = withoutTrace(live);
      if (options.bell === true && event.type === 'appended' && 'outcome' in event.entry) screen.bell();
    },
    onReadings(batch, { probe }) {
      if (probe !== null) live = withBatch(live, batch, probe.calibration);
    },
  });
}
