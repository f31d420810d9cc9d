import { IntakeScreen } from '../../faces/screen/intake/intake-screen.tsx';
import { openPacedScreen } from '../../faces/screen/terminal/paced-screen.ts';
import { lookOf, type ScreenOptions } from '../../faces/screen/terminal/terminal-capabilities.ts';
import type { Guide } from '../../guide/types.ts';
import { startIntake, stepIntake } from '../../view/job/intake.ts';
import type { IntakeFields } from '../../view/job/intake-fields.ts';
import { type Context, whenStopped } from '../program/context.ts';

/**
 * Asks on the screen for what the options leave open, and returns it all; null when the person
 * leaves.
 */
export async function askIntake(
  guide: Guide,
  options: IntakeFields & ScreenOptions,
  { terminal, signal }: Context,
): Promise<IntakeFields | null> {
  let intake = startIntake(guide, options);
  if (intake.done) return intake.fields;
  const look = lookOf(terminal, options);
  let end = (): void => undefined;
  const ended = new Promise<void>((resolve) => {
    end = resolve;
  });
  const screen = openPacedScreen(terminal, {
    frame: ({ cols, rows }) => <IntakeScreen intake={intake} cols={cols} rows={rows} theme={look} />,
    onKey(key) {
      if (intake.done) return;
      intake = stepIntake(intake, key);
      if (intake.done) end();
    },
  });
  const forget = whenStopped(signal, end);
  try {
    screen.draw();
    await Promise.race([ended, screen.broken]);
  } finally {
    forget();
    await screen.close();
  }
  return intake.done ? intake.fields : null;
}
