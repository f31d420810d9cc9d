import type { Check, CheckKindName } from '../../guide/types.ts';
import { bridgeWords } from './bridge.ts';
import { dryNormalWords } from './dry-normal.ts';
import type { AnyKindWords, KindWords } from './kind-words.ts';
import { lookWords } from './look.ts';
import { pressesWords } from './presses.ts';
import { resistanceWords, voltageWords } from './reading.ts';
import { steadyWords } from './steady.ts';

/** What a person reads of checks of every kind. */
const kindWords: { readonly [K in CheckKindName]: KindWords<K> } = {
  resistance: resistanceWords,
  voltage: voltageWords,
  look: lookWords,
  presses: pressesWords,
  bridge: bridgeWords,
  'dry-normal': dryNormalWords,
  steady: steadyWords,
};

/** Returns what a person reads of checks of a kind. */
export function kindWordsOf({ kind }: Pick<Check, 'kind'>): AnyKindWords {
  return kindWords[kind] as AnyKindWords;
}
