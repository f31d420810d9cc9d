// A calibration session at the emulated probe, in probe time alone: real firmware, hands over a board of resistors.
import { simulate } from '../../sim/index.ts';
import type { PresentedStandard } from '../../src/calibrate/standards/presented-standards.ts';
import { calibrationBoard } from '../../src/cli/calibration/calibration-board.ts';
import { ProbeLink } from '../../src/link/probe/probe-link.ts';
import { formatQuantity } from '../../src/measure/reading/format.ts';
import { openCalibrationSession } from '../../src/session/calibration/calibration-session.ts';
import type { CalibrationEvent, CalibrationState } from '../../src/session/calibration/calibration-state.ts';
import { openCalibration } from '../../src/session/calibration/open-calibration.ts';
import { calibrationOf } from '../../src/session/engine/calibration-in-force.ts';

/** Date of every emulated session. */
const madeMs = Date.UTC(2026, 0, 1);

/** Returns a resistor of 0.1 % as a standard. */
export function resistorOf(ohm: number): PresentedStandard {
  const name = formatQuantity(ohm, 'resistance');
  const uOhm = (ohm * 0.001) / Math.sqrt(3);
  return { id: name, label: name, standard: { kind: 'resistor', ohm, uOhm, uCommonRel: 0, name } };
}

export interface EmulatedCalibration {
  state: CalibrationState;
  /** Every state with the event that made it. */
  seen: { event: CalibrationEvent; state: CalibrationState }[];
  prompts: string[];
}

export interface EmulatedOptions {
  standards: readonly PresentedStandard[];
  seed: number;
  /** What really lies on the board in the standards' places; the standards themselves if not given. */
  board?: readonly PresentedStandard[];
  /** Says something after an event. */
  react?(event: CalibrationEvent, state: CalibrationState): CalibrationEvent | null;
  /** Uses the probe before its link is closed. */
  after?(link: ProbeLink, state: CalibrationState): Promise<void>;
}

/** Runs a session to its end. */
export async function emulatedCalibration(options: EmulatedOptions): Promise<EmulatedCalibration> {
  const { standards, seed, react, after } = options;
  const board = calibrationBoard((options.board ?? standards).map((one, i) => ({ ...one, id: standards[i]!.id })));
  const { hands, transport } = simulate({ guide: board.guide, seed });
  const meta = { probeSerial: 0, dateUnixS: madeMs / 1000, validDays: 365, temperatureC: 23, setId: 'BOARD' };
  const seen: EmulatedCalibration['seen'] = [];
  const prompts: string[] = [];
  const session = openCalibrationSession(openCalibration(standards, meta), {
    connect: (onItem, signal) => ProbeLink.connect(() => transport, { onItem, signal }),
    inForce: async (stored, serial) => calibrationOf(stored, serial, madeMs),
  });
  session.states$.subscribe(({ state, event }) => {
    seen.push({ event, state });
    const said = react?.(event, state) ?? null;
    if (said !== null) queueMicrotask(() => session.command(said));
  });
  session.prompts$.subscribe(({ id, act, standard = '' }) => {
    prompts.push(`${act} ${standard}`);
    const pads = board.padsOf(standard);
    if (act === 'touch' || act === 'short-tips' || act === 'lift' || act === 'wait')
      hands.prompt(pads === null ? { id, act } : { id, act, pads });
  });
  try {
    const state = await session.run(new AbortController().signal);
    await after?.(await session.link, state);
    return { state, seen, prompts };
  } finally {
    await session.close();
  }
}
