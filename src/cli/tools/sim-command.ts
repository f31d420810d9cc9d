import { defineCommand } from '../program/define-command.ts';
import { formerly, neededText, type OptionsOf, text } from '../program/option-kinds.ts';
import { about, simulated } from '../program/program-options.ts';

const options = {
  ...simulated,
  guide: neededText('<file>', `${about.guide}: the device at its tips`),
  script: formerly('hands', text('<file>', 'what the hands do; without one, commands are read from stdin')),
  link: text('<path>', 'make this a symbolic link that leads to the pseudo-terminal, also after unplug and plug'),
};
export type SimOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'sim --guide FILE --seed 3',
  options,
  load: async () => (await import('./sim.ts')).sim,
});
