import type { KindWords } from './kind-words.ts';

/** What only eyes see. */
export const lookWords: KindWords<'look'> = {
  stay: () => [],
  action: () => null,
  step: () => null,
  recorded: ({ check, question, answer, by }) => `${check}: ${question} ${answer} (${by})`,
};
