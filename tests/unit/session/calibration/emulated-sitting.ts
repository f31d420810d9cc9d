// A calibration sitting at the emulated probe, in probe time alone: real firmware, hands over a board of resistors.
import { simulate } from '../../../../sim/index.ts';
import type { SittingStandard } from '../../../../src/calibrate/standards/sitting-standards.ts';
import { calibrationBoard } from '../../../../src/cli/calibration/calibration-board.ts';
import { ProbeLink } from '../../../../src/link/probe/probe-link.ts';
import { formatQuantity } from '../../../../src/measure/reading/format.ts';
import { openSitting } from '../../../../src/session/calibration/open-sitting.ts';
import { Sitting } from '../../../../src/session/calibration/sitting.ts';
import type { SittingEvent, SittingState } from '../../../../src/session/calibration/sitting-state.ts';
import { calibrationOf } from '../../../../src/session/calibration-in-force.ts';

/** Date of every emulated sitting. */
export const madeMs = Date.UTC(2026, 0, 1);

/** Returns a resistor of 0.1 % as a standard. */
export function resistorOf(ohm: number): SittingStandard {
  const name = formatQuantity(ohm, 'resistance');
  const uOhm = (ohm * 0.001) / Math.sqrt(3);
  return { id: name, label: name, standard: { kind: 'resistor', ohm, uOhm, uCommonRel: 0, name } };
}

export interface EmulatedSitting {
  state: SittingState;
  /** Every state with the event that made it. */
  seen: { event: SittingEvent; state: SittingState }[];
  prompts: string[];
}

export interface EmulatedOptions {
  standards: readonly SittingStandard[];
  seed: number;
  /** What really lies on the board in the standards' places; the standards themselves if not given. */
  board?: readonly SittingStandard[];
  /** Says something after an event. */
  react?(event: SittingEvent, state: SittingState): SittingEvent | null;
  /** Uses the probe before its link is closed. */
  after?(link: ProbeLink, state: SittingState): Promise<void>;
}

/** Runs a sitting to its end. */
export async function emulatedSitting(options: EmulatedOptions): Promise<EmulatedSitting> {
  const { standards, seed, react, after } = options;
  const board = calibrationBoard((options.board ?? standards).map((one, i) => ({ ...one, id: standards[i]!.id })));
  const { hands, transport } = simulate({ guide: board.guide, seed });
  const meta = { probeSerial: 0, dateUnixS: madeMs / 1000, validDays: 365, temperatureC: 23, setId: 'BOARD' };
  const seen: EmulatedSitting['seen'] = [];
  const prompts: string[] = [];
  const sitting = new Sitting(openSitting(standards, meta), {
    connect: (onItem, signal) => ProbeLink.connect(() => transport, { onItem, signal }),
    inForce: async (stored, serial) => calibrationOf(stored, serial, madeMs),
    onState(state, event) {
      seen.push({ event, state });
      const said = react?.(event, state) ?? null;
      if (said !== null) queueMicrotask(() => sitting.command(said));
    },
    onPrompt({ id, act }, standard) {
      prompts.push(`${act} ${standard}`);
      const pads = board.padsOf(standard);
      if (act === 'touch' || act === 'short-tips' || act === 'lift' || act === 'wait')
        hands.prompt(pads === null ? { id, act } : { id, act, pads });
    },
  });
  try {
    const state = await sitting.run(new AbortController().signal);
    await after?.(await sitting.link, state);
    return { state, seen, prompts };
  } finally {
    await sitting.close();
  }
}
