/** All that needs Ink and React, loaded as one when a screen is shown. */

export { sittingScreen } from '../calibration/sitting-screen.tsx';
export { askIntake } from '../job/ask-intake.tsx';
export { benchFace } from '../job/bench-face.tsx';
export { showMeter } from '../tools/show-meter.tsx';
