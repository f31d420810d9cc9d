/** All that needs Ink and React, loaded as one when a screen is shown. */

export { calibrationScreen } from '../calibration/calibration-screen.tsx';
export { askIntake } from '../job/ask-intake.tsx';
export { jobScreen } from '../job/job-screen.tsx';
export { showMeter } from '../tools/show-meter.tsx';
