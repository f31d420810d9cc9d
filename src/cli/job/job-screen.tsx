import { BenchScreen } from '../../faces/screen/job/bench-screen.tsx';
import { lookOf, type ScreenOptions } from '../../faces/screen/terminal/surroundings.ts';
import { openTerminalScreen } from '../../faces/screen/terminal/terminal-screen.tsx';
import { paceFrames } from '../../session/engine/frame-pace.ts';
import { freshLive, stepLive, stillLive } from '../../session/engine/recent-readings.ts';
import type { Session } from '../../session/job/job-session.ts';
import type { BenchState } from '../../session/job/job-session-state.ts';
import { jobView } from '../../view/job/job-view.ts';
import { freshUi, type KeyPress } from '../../view/job/keyboard.ts';
import { uiStep } from '../../view/job/keys.ts';
import type { Context } from '../program/context.ts';
import type { SessionFace, SessionOptions } from './job-session.ts';

/** Returns the live screen as the face of a session: states and readings in, frames out, keys back as commands. */
export async function benchFace(options: SessionOptions & ScreenOptions, { terminal }: Context): Promise<SessionFace> {
  const theme = lookOf(terminal, options);
  let session: Session | null = null;
  let state: BenchState | null = null;
  let live = freshLive();
  let ui = freshUi();
  const draw = (): void => {
    if (state === null) return;
    const { cols, rows } = stage.size();
    stage.show(<BenchScreen view={jobView(state, live, ui)} cols={cols} rows={rows} theme={theme} />);
  };
  const pace = paceFrames(draw);
  const onKey = (key: KeyPress): void => {
    if (state === null) return;
    const step = uiStep(ui, key, jobView(state, live, ui));
    ui = step.ui;
    for (const event of step.events) session?.command(event);
    pace.changed();
  };
  const stage = openTerminalScreen(terminal, { onKey, onResize: () => pace.changed() });
  return {
    broken: stage.broken,
    join(joined) {
      session = joined;
      state = joined.state;
      draw();
    },
    state(next, event) {
      state = next;
      // readings of a link that went away are not the present
      if (event.type === 'disconnected') live = stillLive(live);
      if (options.bell === true && event.type === 'appended' && 'outcome' in event.entry) stage.bell();
      pace.changed();
    },
    prompt: () => undefined, // the state holds it
    batch(batch, { probe }) {
      if (probe !== null) live = stepLive(live, batch, probe.calibration);
      pace.changed();
    },
    async close() {
      pace.stop();
      await stage.leave();
    },
  };
}
