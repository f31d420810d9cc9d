import { join } from 'node:path';
import { MeterScreen } from '../../faces/screen/meter/meter-screen.tsx';
import { lookOf } from '../../faces/screen/terminal/surroundings.ts';
import { openTerminalScreen } from '../../faces/screen/terminal/terminal-screen.tsx';
import { paceFrames } from '../../session/engine/frame-pace.ts';
import { type MeterLine, MeterState } from '../../session/meter/meter.ts';
import type { KeyPress } from '../../view/job/keyboard.ts';
import {
  freshMeter,
  freshMeterUi,
  linkMeter,
  meterStep,
  meterView,
  stepMeter,
  zeroMeter,
} from '../../view/meter/meter-view.ts';
import type { Context } from '../program/context.ts';
import { errorText } from '../program/error-text.ts';
import type { MeterOptions } from './meter.ts';
import { MeterExport } from './meter-export.ts';
import { readTips } from './meter-source.ts';

/** Lines kept for an export on a key: the last hour, at ten a second. */
const keptLines = 36_000;

/** Shows the meter on the live screen until it is left; the same lines go into `file` as they come, if there is one. */
export async function showMeter(options: MeterOptions, file: MeterExport | null, context: Context): Promise<void> {
  const { terminal, signal } = context;
  const theme = lookOf(terminal, options);
  const lines = new MeterState();
  const kept: MeterLine[] = [];
  let meter = freshMeter(options.quantity);
  let ui = { ...freshMeterUi(), budget: options.budget === true };
  let end = (): void => undefined;
  const ended = new Promise<void>((resolve) => {
    end = resolve;
  });
  const draw = (): void => {
    const { cols, rows } = stage.size();
    stage.show(<MeterScreen view={meterView(meter, ui)} cols={cols} rows={rows} theme={theme} />);
  };
  const pace = paceFrames(draw);
  const say = (message: string): void => {
    ui = { ...ui, message };
    pace.changed();
  };
  const onKey = (key: KeyPress): void => {
    const step = meterStep(ui, key, meterView(meter, ui));
    ui = step.ui;
    if (step.action === 'zero') meter = zeroMeter(meter);
    if (step.action === 'export') {
      if (file !== null) say(`every line goes into ${file.path} as it comes`);
      else exportKept(kept, terminal.now(), terminal.cwd).then(say, (error) => say(errorText(error).text));
    }
    if (step.leave === true) end();
    pace.changed();
  };
  const stage = openTerminalScreen(terminal, { onKey, onResize: () => pace.changed() });
  signal.addEventListener('abort', end, { once: true });
  const seen = {
    probe(text: string, calibration: NonNullable<MeterState['calibration']>, feelsTips: boolean) {
      lines.calibration = calibration;
      meter = { ...linkMeter(meter, true, text), feelsTips };
      pace.changed();
    },
    batch(batch: Parameters<MeterState['take']>[0]) {
      if (lines.calibration === null) return;
      meter = stepMeter(meter, batch, lines.calibration);
      const line = lines.take(batch);
      if (line !== null) {
        file?.add(line);
        kept.push(line);
        // in blocks: to move a whole hour for every line would be work for nothing
        if (kept.length > keptLines * 1.1) kept.splice(0, kept.length - keptLines);
      }
      pace.changed();
    },
    lost(why: string) {
      meter = linkMeter(meter, false, `${why}; the probe is looked for`);
      pace.changed();
    },
  };
  try {
    draw();
    await Promise.race([readTips({ ...options, reconnect: true }, seen, ended, context), stage.broken]);
  } finally {
    signal.removeEventListener('abort', end);
    end();
    pace.stop();
    await stage.leave();
  }
}

/** Writes what was kept to a new file here and returns what to say of it. */
async function exportKept(kept: readonly MeterLine[], now: Date, folder: string): Promise<string> {
  if (kept.length === 0) return 'nothing has been seen yet';
  const stamp = now.toISOString().slice(0, 19).replace('T', '-').replaceAll(':', '');
  const file = new MeterExport(join(folder, `meter-${stamp}.csv`));
  await file.ready();
  for (const line of kept) file.add(line);
  await file.close();
  return `${file.lines} lines are in ${file.path}`;
}
