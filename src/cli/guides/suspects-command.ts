import { defineCommand } from '../program/define-command.ts';
import { choice, type OptionsOf, text, texts } from '../program/option-kinds.ts';
import { about, json } from '../program/program-options.ts';

const options = {
  reading: texts('<value>', 'CHECK=VALUE, as spring-a=0.3ohm, spring-a=open, idle=1.8V; may be repeated'),
  observed: texts('<answer>', 'CHECK=yes|no|unsure, of a bridge also unproven; may be repeated'),
  skip: texts('<check>', 'a check that is not to be proposed; may be repeated'),
  power: choice('<state>', `${about.power}, as it stands now`, ['on', 'off']),
  access: text('<id>', "the state of disassembly that it is in now, or 'closed'"),
  json,
};
export type SuspectsOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'suspects examples/field-recorder.yaml --reading spring-a=open --observed look-pads=yes',
  takes: [['<guide>', 'guide file']],
  options,
  prints: async () => (await import('../outputs/guide-outputs.ts')).suspectsForm,
  load: async () => (await import('./suspects.ts')).suspects,
});
