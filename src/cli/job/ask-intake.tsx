import { IntakeScreen } from '../../faces/screen/intake/intake-screen.tsx';
import { lookOf, type ScreenOptions } from '../../faces/screen/terminal/surroundings.ts';
import { openTerminalScreen } from '../../faces/screen/terminal/terminal-screen.tsx';
import type { Guide } from '../../guide/types.ts';
import { paceFrames } from '../../session/engine/frame-pace.ts';
import { type IntakeFields, startIntake, stepIntake } from '../../view/job/intake.ts';
import type { Context } from '../program/context.ts';

/** Asks on the screen for what the options leave open, and returns it all; null when the person leaves. */
export async function askIntake(
  guide: Guide,
  options: IntakeFields & ScreenOptions,
  { terminal, signal }: Context,
): Promise<IntakeFields | null> {
  const { revision, override, ticket, symptom, serial, customer, contact } = options;
  const given = Object.entries({ revision, override, ticket, symptom, serial, customer, contact }).filter(
    ([, text]) => text !== undefined,
  );
  let intake = startIntake(guide, Object.fromEntries(given));
  if (intake.done) return intake.fields;
  const look = lookOf(terminal, options);
  let end = (): void => undefined;
  const ended = new Promise<void>((resolve) => {
    end = resolve;
  });
  const draw = (): void => {
    const { cols, rows } = stage.size();
    stage.show(<IntakeScreen intake={intake} cols={cols} rows={rows} look={look} />);
  };
  const pace = paceFrames(draw);
  const stage = openTerminalScreen(terminal, {
    onKey(key) {
      intake = stepIntake(intake, key);
      if (intake.done) end();
      else pace.changed();
    },
    onResize: () => pace.changed(),
  });
  signal.addEventListener('abort', end, { once: true });
  try {
    draw();
    await Promise.race([ended, stage.broken]);
  } finally {
    signal.removeEventListener('abort', end);
    pace.stop();
    await stage.leave();
  }
  return intake.done ? intake.fields : null;
}
