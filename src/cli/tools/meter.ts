import { wantsScreen } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { readingBudget } from '../../measure/reading/budget-lines.ts';
import { formatReading } from '../../measure/reading/format.ts';
import { contactText } from '../../session/meter/meter-line.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { loadScreen } from '../start-up/load-screen.ts';
import type { MeterOptions } from './meter-command.ts';
import { MeterExport } from './meter-export.ts';
import { type MeterFace, onLine, readTips } from './meter-source.ts';

/**
 * `meter`: shows what the tips read, on the live screen or as about ten lines a second, until it is
 * left or `count` lines are out.
 */
export async function meter(options: MeterOptions, context: Context): Promise<number> {
  const file = options.export === undefined ? null : new MeterExport(options.export, options);
  try {
    if (wantsScreen(context.terminal, options) && options.count === undefined) {
      const { showMeter } = await loadScreen();
      await showMeter({ ...options, realTime: !options.fast }, file, context);
    } else {
      await printMeter(options, file, context);
    }
  } finally {
    file?.close();
  }
  if (file !== null) context.terminal.say(`${file.lines} lines are in ${file.path}`);
  return exitCodes.passed;
}

async function printMeter(options: MeterOptions, file: MeterExport | null, context: Context): Promise<void> {
  await readTips({ ...options, reconnect: false }, () => plainMeter(options, file, context), context);
}

/** Returns plain lines as the face of a meter. */
function plainMeter(options: MeterOptions, file: MeterExport | null, { terminal }: Context): MeterFace {
  let shown = 0;
  return {
    join(session) {
      session.states$.subscribe(({ event, state }) => {
        if (event.type === 'connected') terminal.say(state.link.text);
      });
      onLine(session, (line) => {
        if (shown === options.count) return;
        shown += 1;
        file?.add(line);
        if (options.json) printJson(terminal, line);
        else {
          terminal.out(`${(line.tUs / 1e6).toFixed(2)} s  ${formatReading(line.reading)}  ${contactText(line)}`);
          if (options.budget) for (const part of readingBudget(line.reading)) terminal.out(part);
        }
        if (shown === options.count) session.command({ type: 'quit' });
      });
    },
  };
}
