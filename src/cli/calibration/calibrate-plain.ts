import { createInterface } from 'node:readline';
import { typedStandard } from '../../calibrate/standards/typed-standard.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import type { CalibrationEvent, CalibrationState } from '../../session/calibration/calibration-state.ts';
import type { SessionFace } from '../../session/engine/session-face.ts';
import { calibrationLines } from '../../view/calibration/calibration-lines.ts';
import { standardOrder } from '../../view/words/prompt.ts';
import type { Context } from '../program/context.ts';

export type CalibrationFace = SessionFace<CalibrationState, CalibrationEvent>;

const typedHelp =
  'Type a resistor (470 ohm 0.1 %), or one of: skip, again, finish, quit - and Enter. Everything else the tips do.';

/**
 * Returns plain lines as the face of a calibration session: what is typed is read a line at a time,
 * unless hands are emulated.
 */
export function plainCalibration(options: { port?: string }, { terminal }: Context): CalibrationFace {
  let lines: ReturnType<typeof createInterface> | null = null;
  return {
    join(session) {
      session.states$.subscribe(({ before, event, state }) => {
        for (const line of calibrationLines(before, event, state)) terminal.say(line);
      });
      session.prompts$.subscribe((prompt) => {
        const label = session.state.standards.find(({ id }) => id === prompt.standard)?.label ?? '';
        terminal.say(`> ${standardOrder(prompt, label)}`);
      });
      if (options.port === simulatedPort) return;
      lines = createInterface({ input: terminal.stdin, terminal: false });
      lines.on('line', (line) => {
        const event = typedEvent(line);
        if (typeof event === 'string') terminal.say(event);
        else session.command(event);
      });
      // nobody can type a resistor any more
      lines.on('close', () => {
        if (session.state.isOpenEnded) session.command({ type: 'finish' });
      });
    },
    async close() {
      lines?.close();
    },
  };
}

function typedEvent(line: string): CalibrationEvent | string {
  const word = line.trim().toLowerCase();
  switch (word) {
    case 'skip':
    case 'again':
    case 'finish':
    case 'quit':
      return { type: word };
    case '':
      return typedHelp;
    default: {
      const read = typedStandard(line);
      return read.ok ? { type: 'add', standard: read.standard } : `${read.text}. ${typedHelp}`;
    }
  }
}
