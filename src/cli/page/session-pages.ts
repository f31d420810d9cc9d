import type { CalibrationEvent, CalibrationState } from '../../session/calibration/calibration-state.ts';
import type { SessionFace } from '../../session/engine/session-face.ts';
import type { MeterEvent, MeterState } from '../../session/meter/meter-reducer.ts';
import { freshCalibrationUi } from '../../view/calibration/calibration-keys.ts';
import { calibrationView } from '../../view/calibration/calibration-view.ts';
import { freshMeterUi, meterView } from '../../view/meter/meter-view.ts';
import type { Context } from '../program/context.ts';
import { openPage, type PageOptions } from './open-page.ts';
import { pageAddress } from './page-address.ts';

/** Returns the page as a face of the meter; null when none is wanted. */
export async function meterPage(
  options: PageOptions,
  context: Context,
): Promise<SessionFace<MeterState, MeterEvent> | null> {
  if (pageAddress(options) === null) return null;
  const { meterPanels, meterPlaces } = await import('../../page/sessions/meter-panels.tsx');
  const ui = freshMeterUi();
  return openPage(
    { title: 'Meter', places: meterPlaces, panels: (state) => meterPanels(meterView(state, ui)) },
    options,
    context,
  );
}

/** Returns the page as a face of a calibration session; null when none is wanted. */
export async function calibrationPage(
  options: PageOptions,
  context: Context,
): Promise<SessionFace<CalibrationState, CalibrationEvent> | null> {
  if (pageAddress(options) === null) return null;
  const { calibrationPanels, calibrationPlaces } = await import('../../page/sessions/calibration-panels.tsx');
  const ui = freshCalibrationUi();
  const panels = (state: CalibrationState) => calibrationPanels(calibrationView(state, ui));
  return openPage({ title: 'Calibration', places: calibrationPlaces, panels }, options, context);
}
