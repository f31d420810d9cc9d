import { CalibrateScreen } from '../../faces/screen/calibration/calibrate-screen.tsx';
import { screenFace } from '../../faces/screen/terminal/paced-screen.ts';
import { lookOf, type ScreenOptions } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { calibrationKeyStep, freshCalibrationUi } from '../../view/calibration/calibration-keys.ts';
import { calibrationView } from '../../view/calibration/calibration-view.ts';
import type { Context } from '../program/context.ts';
import type { CalibrationFace } from './calibrate-plain.ts';

/** Returns the live screen as the face of a calibration session. */
export async function calibrationScreen(options: ScreenOptions, { terminal }: Context): Promise<CalibrationFace> {
  const theme = lookOf(terminal, options);
  let ui = freshCalibrationUi();
  return screenFace(terminal, {
    frame: (state, { cols, rows }) => (
      <CalibrateScreen view={calibrationView(state, ui)} cols={cols} rows={rows} theme={theme} />
    ),
    onKey(key) {
      const step = calibrationKeyStep(ui, key);
      ui = step.ui;
      return step.events;
    },
    onState({ before, state }, screen) {
      if (options.bell === true && state.stage === 'lifting' && before.stage !== 'lifting') screen.bell();
    },
  });
}
