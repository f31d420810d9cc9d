import type { CalibrationEvent, CalibrationState } from '../../session/calibration/calibration-state.ts';
import type { SessionFace } from '../../session/engine/session-face.ts';
import type { MeterEvent, MeterState } from '../../session/meter/meter-reducer.ts';
import { freshCalibrationUi } from '../../view/calibration/calibration-keys.ts';
import { calibrationView } from '../../view/calibration/calibration-view.ts';
import { freshMeterUi, meterView } from '../../view/meter/meter-view.ts';
import type { Context } from '../program/context.ts';
import { openPage, type PageOptions } from './open-page.ts';

/** Returns the page as a face of the meter; none when none is wanted. */
export function meterPage(options: PageOptions, context: Context): Promise<SessionFace<MeterState, MeterEvent>[]> {
  const shown = async () => {
    const { meterPanels, meterPlaces } = await import('../../page/sessions/meter-panels.tsx');
    const panels = (state: MeterState) => meterPanels(meterView(state, freshMeterUi()));
    return { title: 'Meter', places: meterPlaces, panels };
  };
  return openPage(shown, options, context);
}

/** Returns the page as a face of a calibration session; none when none is wanted. */
export function calibrationPage(
  options: PageOptions,
  context: Context,
): Promise<SessionFace<CalibrationState, CalibrationEvent>[]> {
  const shown = async () => {
    const { calibrationPanels, calibrationPlaces } = await import('../../page/sessions/calibration-panels.tsx');
    const panels = (state: CalibrationState) => calibrationPanels(calibrationView(state, freshCalibrationUi()));
    return { title: 'Calibration', places: calibrationPlaces, panels };
  };
  return openPage(shown, options, context);
}
