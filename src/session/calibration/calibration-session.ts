import { Engine } from '../engine/engine.ts';
import type { SessionProbe } from '../engine/session-parts.ts';
import { CalibrationReadingEvents } from './calibration-reading-events.ts';
import { stepCalibration } from './calibration-reducer.ts';
import type { CalibrationEffect, CalibrationEvent, CalibrationMode, CalibrationState } from './calibration-state.ts';

/**
 * A calibration session. The link stays open after its end, so that the calibration can be written
 * into the probe.
 */
export type CalibrationSession = Engine<CalibrationState, CalibrationEvent, CalibrationEffect>;

/**
 * Returns a calibration session, not yet running. It ends when everything is read, when it is
 * finished, or when it is left.
 */
export function openCalibrationSession(state: CalibrationState, probe: SessionProbe): CalibrationSession {
  const watcher = new CalibrationReadingEvents();
  return new Engine({
    state,
    step: stepCalibration,
    watcher,
    probe,
    found: ({ identity, path, inForce }) => ({ type: 'connected', identity, path, before: inForce }),
    lost: (why) => ({ type: 'disconnected', why }),
    leave: { type: 'quit' },
    keepsLink: true,
    carryOut: (effect, engine) => setMode(engine, watcher, effect.mode),
  });
}

async function setMode(engine: CalibrationSession, watcher: CalibrationReadingEvents, mode: CalibrationMode) {
  const { range, level } = mode.combination;
  const isCheck = mode.watch === 'check';
  const input = isCheck ? 'check' : 'tips';
  const begin = () => watcher.start(mode);
  const refusal = await engine.setMode(
    level === 'voltage'
      ? { type: 'mode', mode: 'voltage', level: 'normal', range: 'auto', input }
      : { type: 'mode', mode: 'resistance', level, range: isCheck ? 'auto' : range, input },
    () => {
      begin();
      engine.dispatch({ type: 'mode-set' });
    },
  );
  if (refusal === null) return;
  // the readings tell when the voltage has gone
  begin();
  engine.dispatch({ type: 'mode-refused' });
}
