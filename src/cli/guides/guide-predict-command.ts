import { defineCommand } from '../program/define-command.ts';
import { choiceOr, type OptionsOf, text, texts } from '../program/option-kinds.ts';
import { about, fault, json } from '../program/program-options.ts';

const options = {
  fault,
  power: choiceOr('off', '<state>', `${about.power}; for --between`, ['on', 'off']),
  between: texts('<pads>', `${about.between}; may be repeated`),
  bridge: text('<pads>', 'join this pair of pads, as PAD,PAD'),
  pressed: texts('<id>', 'a key held down; may be repeated'),
  json,
};
export type PredictOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'guide predict examples/field-recorder.yaml --fault trace-a=open --between S1,J1',
  takes: [['<guide>', about.guide]],
  options,
  prints: async () => (await import('../outputs/guide-outputs.ts')).guidePredictForm,
  load: async () => (await import('./guide-predict.ts')).guidePredict,
});
