import type { KindModel } from './kind-model.ts';
import { isOpposite } from './opposite-answers.ts';
import { passClass } from './outcome-pieces.ts';

/** What only eyes see. */
export const lookModel: KindModel<'look'> = {
  takes: "a person's answer",
  touches: false,
  channels: () => [],
  measured: () => [],
  isMute: () => false,
  isSpoken: ({ answer }) => answer !== 'unsure',
  contradicts: (a, b) => isOpposite(a.answer, b.answer),
  likelihood({ guide: { eyes } }, { passAnswer }, { answer }, { isSeen }) {
    if (answer === 'unsure') return 1;
    const isFail = answer !== passAnswer;
    return isSeen ? (isFail ? 1 - eyes.miss : eyes.miss) : isFail ? eyes.falseAlarm : 1 - eyes.falseAlarm;
  },
  chance: (_frame, { answer }) => (answer === 'unsure' ? 1 : 0.5),
  split: ({ guide: { eyes } }) => ({
    classes: [passClass, { id: 'fail', isPass: false }],
    probabilities({ isSeen }, into) {
      into[0] = isSeen ? eyes.miss : 1 - eyes.falseAlarm;
      into[1] = 1 - into[0]!;
    },
  }),
  words: ({ question }, { answer }) => `'${question}' was answered ${answer}`,
};
