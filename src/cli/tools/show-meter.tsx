import { join } from 'node:path';
import { MeterScreen } from '../../faces/screen/meter/meter-screen.tsx';
import { screenFace } from '../../faces/screen/terminal/paced-screen.ts';
import { lookOf } from '../../faces/screen/terminal/terminal-capabilities.ts';
import type { MeterLine } from '../../session/meter/meter-line.ts';
import type { MeterEvent, MeterState } from '../../session/meter/meter-reducer.ts';
import { freshMeterUi, measuredNext, meterStep, meterView } from '../../view/meter/meter-view.ts';
import type { Context } from '../program/context.ts';
import { errorText } from '../program/error-text.ts';
import type { MeterOptions } from './meter-command.ts';
import { MeterExport } from './meter-export.ts';
import { type MeterFace, onLine, readTips } from './meter-source.ts';

/** Lines kept for an export on a key: the last hour, at ten a second. */
const keptLines = 36_000;

/**
 * Shows the meter on the live screen until it is left; the same lines go into `file` as they come,
 * if there is one.
 */
export async function showMeter(options: MeterOptions, file: MeterExport | null, context: Context): Promise<void> {
  await readTips({ ...options, reconnect: true }, () => meterScreen(options, file, context), context);
}

/** Returns the live screen as the face of a meter. */
function meterScreen(options: MeterOptions, file: MeterExport | null, { terminal }: Context): MeterFace {
  const theme = lookOf(terminal, options);
  const kept: MeterLine[] = [];
  let ui = { ...freshMeterUi(), budget: options.budget };
  const say = (message: string): void => {
    ui = { ...ui, message };
    face.changed();
  };
  const face = screenFace<MeterState, MeterEvent>(terminal, {
    frame: (state, { cols, rows }) => <MeterScreen view={meterView(state, ui)} cols={cols} rows={rows} theme={theme} />,
    onKey(key, state) {
      const step = meterStep(ui, key, meterView(state, ui));
      ui = step.ui;
      if (step.action === 'export') {
        if (file !== null) say(`every line goes into ${file.path} as it comes`);
        else exportKept(kept, terminal.now(), terminal.cwd).then(say, (error) => say(errorText(error).text));
      }
      if (step.leave === true) return [{ type: 'quit' }];
      if (step.action === 'measure') return [{ type: 'measure', ...measuredNext(state) }];
      return step.action === 'zero' ? [{ type: 'zero' }] : [];
    },
  });
  return {
    ...face,
    join(session) {
      face.join(session);
      onLine(session, (line) => {
        file?.add(line);
        kept.push(line);
        // in blocks: to move a whole hour for every line would be work for nothing
        if (kept.length > keptLines * 1.1) kept.splice(0, kept.length - keptLines);
      });
    },
  };
}

/** Writes what was kept to a new file here and returns what to say of it. */
async function exportKept(kept: readonly MeterLine[], now: Date, folder: string): Promise<string> {
  if (kept.length === 0) return 'nothing has been seen yet';
  const stamp = now.toISOString().slice(0, 19).replace('T', '-').replaceAll(':', '');
  const file = new MeterExport(join(folder, `meter-${stamp}.csv`));
  for (const line of kept) file.add(line);
  file.close();
  return `${file.lines} lines are in ${file.path}`;
}
