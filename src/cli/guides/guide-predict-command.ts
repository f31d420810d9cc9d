import { defineCommand } from '../program/define-command.ts';
import { choiceOr, type OptionsOf, text, texts } from '../program/option-kinds.ts';
import { json } from '../program/program-options.ts';

const options = {
  fault: texts('<fault>', 'what is read with this fault in the circuit, as LINK=MODE; may be repeated'),
  power: choiceOr('off', '<state>', 'device power for --between', ['on', 'off']),
  between: texts('<pads>', 'a pair of pads, as PAD,PAD; may be repeated'),
  bridge: text('<pads>', 'join this pair of pads, as PAD,PAD'),
  pressed: texts('<key>', 'a key held down; may be repeated'),
  json,
};
export type PredictOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'guide predict examples/field-recorder.yaml --fault trace-a=open --between S1,J1',
  takes: [['<file>', 'guide file']],
  options,
  load: async () => (await import('./guide-predict.ts')).guidePredict,
});
