import { CalibrateScreen } from '../../faces/screen/calibration/calibrate-screen.tsx';
import { openStage } from '../../faces/screen/terminal/stage.tsx';
import { lookOf, type ScreenOptions } from '../../faces/screen/terminal/surroundings.ts';
import type { Sitting } from '../../session/calibration/sitting.ts';
import type { SittingState } from '../../session/calibration/sitting-state.ts';
import { paceFrames } from '../../session/frame-pace.ts';
import { freshSittingUi, sittingKeyStep } from '../../view/calibration/sitting-keys.ts';
import { sittingView } from '../../view/calibration/sitting-view.ts';
import type { KeyPress } from '../../view/job/keyboard.ts';
import type { Context } from '../program/context.ts';
import type { SittingFace } from './calibrate-plain.ts';

/** Returns the live screen as the face of a calibration sitting. */
export async function sittingScreen(options: ScreenOptions, { terminal }: Context): Promise<SittingFace> {
  const theme = lookOf(terminal, options);
  let sitting: Sitting | null = null;
  let state: SittingState | null = null;
  let ui = freshSittingUi();
  const draw = (): void => {
    if (state === null) return;
    const { cols, rows } = stage.size();
    stage.show(<CalibrateScreen view={sittingView(state, ui)} cols={cols} rows={rows} theme={theme} />);
  };
  const pace = paceFrames(draw);
  const onKey = (key: KeyPress): void => {
    const step = sittingKeyStep(ui, key);
    ui = step.ui;
    for (const event of step.events) sitting?.command(event);
    pace.changed();
  };
  const stage = openStage(terminal, { onKey, onResize: () => pace.changed() });
  return {
    broken: stage.broken,
    join(joined) {
      sitting = joined;
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
