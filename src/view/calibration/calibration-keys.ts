import { typedStandard } from '../../calibrate/standards/typed-standard.ts';
import type { CalibrationEvent } from '../../session/calibration/calibration-state.ts';
import type { KeyPress } from '../job/keyboard.ts';
import { plainLine } from '../text/plain-line.ts';

/** The keyboard of a calibration session; the session itself knows nothing of it. */
export interface CalibrationUi {
  mode: 'plain' | 'line' | 'help' | 'leave' | 'finish';
  line: string | null;
  /** Page of the help, from 0. */
  page: number;
  message: string | null;
}

/** Returns the keyboard at rest. */
export function freshCalibrationUi(): CalibrationUi {
  return { mode: 'plain', line: null, page: 0, message: null };
}

const longestLine = 80;

/** Returns what a key does: the keyboard's next state, and what the session is told. Pure. */
export function calibrationKeyStep(
  before: CalibrationUi,
  key: KeyPress,
): { ui: CalibrationUi; events: CalibrationEvent[] } {
  const ui = { ...before, message: null };
  if (key.ctrl === true) return { ui: before, events: [] };
  switch (ui.mode) {
    case 'line':
      return lineStep(ui, key);
    case 'help':
      if (key.input === '?') return { ui: { ...ui, page: ui.page + 1 }, events: [] };
      return { ui: { ...ui, mode: 'plain' }, events: [] };
    case 'leave':
      return { ui: { ...ui, mode: 'plain' }, events: key.input.toLowerCase() === 'y' ? [{ type: 'quit' }] : [] };
    case 'finish':
      return { ui: { ...ui, mode: 'plain' }, events: key.input.toLowerCase() === 'y' ? [{ type: 'finish' }] : [] };
    case 'plain':
      return plainStep(ui, key.input.toLowerCase());
  }
}

function plainStep(ui: CalibrationUi, input: string): { ui: CalibrationUi; events: CalibrationEvent[] } {
  switch (input) {
    case 'a':
      return { ui: { ...ui, mode: 'line', line: '' }, events: [] };
    case 'r':
      return { ui, events: [{ type: 'again' }] };
    case 's':
      return { ui, events: [{ type: 'skip' }] };
    case 'f':
      return {
        ui: { ...ui, mode: 'finish', message: 'Finish with what was taken? y finishes, any other key goes on' },
        events: [],
      };
    case 'q':
      return {
        ui: { ...ui, mode: 'leave', message: 'Leave? Nothing is put in force. y leaves, any other key stays' },
        events: [],
      };
    case '?':
      return { ui: { ...ui, mode: 'help', page: 0 }, events: [] };
    default:
      return { ui, events: [] };
  }
}

function lineStep(ui: CalibrationUi, key: KeyPress): { ui: CalibrationUi; events: CalibrationEvent[] } {
  const line = ui.line ?? '';
  if (key.escape === true) return { ui: { ...ui, mode: 'plain', line: null }, events: [] };
  if (key.backspace === true) return { ui: { ...ui, line: [...line].slice(0, -1).join('') }, events: [] };
  if (key.return !== true) return { ui: { ...ui, line: plainInput(line + key.input) }, events: [] };
  const read = typedStandard(line);
  if (!read.ok) return { ui: { ...ui, message: plainLine(read.text) }, events: [] };
  const done: CalibrationUi = { ...ui, mode: 'plain', line: null, message: read.question };
  return { ui: done, events: [{ type: 'add', standard: read.standard }] };
}

function plainInput(text: string): string {
  return text.replace(/[\p{Cc}\p{Cf}\p{Cs}]/gu, '').slice(0, longestLine);
}
