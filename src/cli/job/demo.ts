import type { Context } from '../program/context.ts';
import { exampleFile } from '../program/example-file.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { simulatedPort } from '../program/open-probe.ts';
import { type StartOptions, start } from './start.ts';

export interface DemoOptions extends StartOptions {
  healthy?: boolean;
}

const guideFile = exampleFile('field-recorder.yaml');
const demoFault = 'trace-a=open';

/** `demo`: the main job on the emulated probe, with a fault in the device unless a healthy one is asked for. */
export async function demo(options: DemoOptions, context: Context): Promise<number> {
  const asked = options.fault ?? [];
  const fault = options.healthy === true ? [] : asked.length > 0 ? asked : [demoFault];
  context.terminal.say(
    `Demo: an emulated probe with its real firmware, an invented device with ${fault.length === 0 ? 'no fault' : `the fault ${fault.join(', ')}`}, and hands that do as they are told.`,
  );
  const invented = { revision: 'A', ticket: 'DEMO', symptom: 'the record key does nothing', serial: 'none' };
  const code = await start(
    guideFile,
    { repair: 'first', ...options, ...invented, fault, port: simulatedPort },
    context,
  );
  const found = code === exitCodes.failed && fault.length > 0;
  return found ? exitCodes.passed : code;
}
