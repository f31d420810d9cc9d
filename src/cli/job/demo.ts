import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { exampleFile } from '../places/example-file.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { fallbacksOf } from '../program/option-kinds.ts';
import { type DemoOptions, startOptions, usualRepair } from '../program/program-options.ts';
import { start } from './start.ts';

const guideFile = exampleFile('field-recorder.yaml');
const demoFault = 'trace-a=open';

/** What a demo takes no options for. */
const benchOptions = { ...fallbacksOf(startOptions), port: simulatedPort };
const invented = { revision: 'A', ticket: 'DEMO', symptom: 'the record key does nothing', serial: 'none' };

/**
 * `demo`: the main job on the emulated probe, with a fault in the device unless a healthy one is
 * asked for.
 */
export async function demo(options: DemoOptions, context: Context): Promise<number> {
  const repair = options.repair ?? usualRepair.demo;
  const fault = options.healthy ? [] : options.fault.length > 0 ? options.fault : [demoFault];
  context.terminal.say(
    `Demo: an emulated probe with its real firmware, an invented device with ${fault.length === 0 ? 'no fault' : `the fault ${fault.join(', ')}`}, and hands that do as they are told.`,
  );
  const code = await start(guideFile, { ...benchOptions, ...options, ...invented, fault, repair }, context);
  const found = code === exitCodes.failed && fault.length > 0;
  return found ? exitCodes.passed : code;
}
