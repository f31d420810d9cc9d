/** All that needs Ink and React, loaded as one when a screen is shown. */

export { askIntake } from './ask-intake.tsx';
export { benchFace } from './bench-face.tsx';
export { showMeter } from './show-meter.tsx';
export { sittingScreen } from './sitting-screen.tsx';
