import { defineCommand } from '../program/define-command.ts';
import { type OptionsOf, text } from '../program/option-kinds.ts';
import { jobArgument, jobs } from '../program/program-options.ts';

const options = { jobs, shows: text('<text>', 'what is seen on the photo') };
export type PhotoOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'photo last look-pads pad.jpg --shows "brown crust on the left pad"',
  takes: [
    jobArgument,
    ['<check>', 'the check at which it was taken, by its id in the guide'],
    ['<photo>', 'the photo: PNG, JPEG or WebP'],
  ],
  options,
  load: async () => (await import('./photo.ts')).photo,
});
