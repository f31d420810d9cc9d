import { createInterface } from 'node:readline';
import { typedStandard } from '../../calibrate/standards/typed-standard.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import type { CalibrationSession } from '../../session/calibration/calibration-session.ts';
import type { CalibrationEvent, CalibrationState } from '../../session/calibration/calibration-state.ts';
import { calibrationLines } from '../../view/calibration/calibration-lines.ts';
import { simulatedPort } from '../job/job-session.ts';
import type { Context } from '../program/context.ts';

/** Where a calibration session is shown and where what is typed comes from. */
export interface CalibrationFace {
  state(before: CalibrationState, event: CalibrationEvent, now: CalibrationState): void;
  prompt(prompt: Prompt): void;
  batch?(batch: ReadingBatch): void;
  join(session: CalibrationSession): void;
  readonly broken?: Promise<never>;
  close(): Promise<void>;
}

const typedHelp =
  'Type a resistor (470 ohm 0.1 %), or one of: skip, again, finish, quit - and Enter. Everything else the tips do.';

/** Returns plain lines as the face of a calibration session: what is typed is read a line at a time, unless hands are emulated. */
export function plainCalibration(options: { port?: string }, { terminal }: Context): CalibrationFace {
  let lines: ReturnType<typeof createInterface> | null = null;
  return {
    state: (before, event, now) => {
      for (const line of calibrationLines(before, event, now)) terminal.say(line);
    },
    prompt: (prompt) => terminal.say(`> ${prompt.text}`),
    join(session) {
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
