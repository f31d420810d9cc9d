import { defineCommand } from '../program/define-command.ts';
import { type OptionsOf, text } from '../program/option-kinds.ts';
import { json } from '../program/program-options.ts';

const options = { limits: text('<text>', "judge every capture against these limits, such as 'max: 2 ohm'"), json };
export type ReplayOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'replay examples/field-recorder.owbytes',
  takes: [['<bytes>', 'byte log of a session, or a bare capture of what a probe sent']],
  options,
  prints: async () => (await import('../outputs/bench-outputs.ts')).replayForm,
  load: async () => (await import('./replay.ts')).replay,
});
