import { CalibrateScreen } from '../../faces/screen/calibration/calibrate-screen.tsx';
import { lookOf, type ScreenOptions } from '../../faces/screen/terminal/surroundings.ts';
import { openTerminalScreen } from '../../faces/screen/terminal/terminal-screen.tsx';
import type { CalibrationSession } from '../../session/calibration/calibration-session.ts';
import type { CalibrationState } from '../../session/calibration/calibration-state.ts';
import { paceFrames } from '../../session/engine/frame-pace.ts';
import { calibrationKeyStep, freshCalibrationUi } from '../../view/calibration/calibration-keys.ts';
import { calibrationView } from '../../view/calibration/calibration-view.ts';
import type { KeyPress } from '../../view/job/keyboard.ts';
import type { Context } from '../program/context.ts';
import type { CalibrationFace } from './calibrate-plain.ts';

/** Returns the live screen as the face of a calibration session. */
export async function calibrationScreen(options: ScreenOptions, { terminal }: Context): Promise<CalibrationFace> {
  const theme = lookOf(terminal, options);
  let session: CalibrationSession | null = null;
  let state: CalibrationState | null = null;
  let ui = freshCalibrationUi();
  const draw = (): void => {
    if (state === null) return;
    const { cols, rows } = stage.size();
    stage.show(<CalibrateScreen view={calibrationView(state, ui)} cols={cols} rows={rows} theme={theme} />);
  };
  const pace = paceFrames(draw);
  const onKey = (key: KeyPress): void => {
    const step = calibrationKeyStep(ui, key);
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
    state(_before, _event, now) {
      if (options.bell === true && now.stage === 'lifting' && _before.stage !== 'lifting') stage.bell();
      state = now;
      pace.changed();
    },
    prompt: () => undefined, // the state holds it
    async close() {
      pace.stop();
      await stage.leave();
    },
  };
}
