import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { loadGuide } from '../../guide/file/load.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { runShown, type SessionFace } from '../../session/engine/session-face.ts';
import type { ShownSession } from '../../session/engine/session-parts.ts';
import type { MeterLine } from '../../session/meter/meter-line.ts';
import type { MeterEvent, MeterState } from '../../session/meter/meter-reducer.ts';
import { openMeterSession } from '../../session/meter/meter-session.ts';
import { padPair } from '../guides/guide-predict.ts';
import { makeSimulator } from '../job/simulator.ts';
import { meterPage } from '../page/session-pages.ts';
import type { Context } from '../program/context.ts';
import { openProbe } from '../program/open-probe.ts';
import type { MeterOptions } from './meter-command.ts';

/** Shows and takes what a meter sees. */
export type MeterFace = SessionFace<MeterState, MeterEvent>;

/**
 * Reads the tips, shown by a face, until the session is left; with `reconnect`, also over a cable
 * that was pulled and put back.
 */
export async function readTips(
  options: MeterOptions & { reconnect: boolean },
  openFace: () => MeterFace,
  context: Context,
): Promise<void> {
  const { reconnect } = options;
  const simulator = options.port === simulatedPort ? await simulatedTips(options) : null;
  const probe = await openProbe(options, context, { transport: simulator?.transport, reconnect });
  const pages = await meterPage(options, context);
  await runShown(openMeterSession(options, probe), [...pages, openFace()], context.signal);
}

/** Has `take` called with each line of a meter. */
export function onLine({ states$ }: ShownSession<MeterState, MeterEvent>, take: (line: MeterLine) => void): void {
  states$.subscribe(({ before, state }) => {
    if (state.line !== null && state.line !== before.line) take(state.line);
  });
}

async function simulatedTips(options: MeterOptions) {
  if (options.guide === undefined || options.between === undefined) {
    throw usage('An emulated probe needs --guide FILE and --between PAD,PAD.', 'Say what its tips touch.');
  }
  const { guide } = await loadGuide(options.guide, checkKinds);
  const pads = padPair(options.between, guide, '--between');
  const simulator = await makeSimulator(guide, options);
  if (options.quantity === 'voltage') simulator.device.setPower('on');
  simulator.hands.perform([{ do: 'touch', pads }]);
  return simulator;
}

function usage(message: string, help: string): OhmwrightError {
  return new OhmwrightError('usage.meter', message, { help });
}
