import { defineCommand } from '../program/define-command.ts';
import { neededText, type OptionsOf, text } from '../program/option-kinds.ts';
import { simulated } from '../program/program-options.ts';

const options = {
  ...simulated,
  guide: neededText('<file>', 'the device at its tips'),
  hands: text('<file>', 'script for the hands; without one, commands are read from stdin'),
  link: text('<path>', 'make this a symbolic link that leads to the pseudo-terminal, also after unplug and plug'),
};
export type SimOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'sim --guide FILE --seed 3',
  options,
  load: async () => (await import('./sim.ts')).sim,
});
