import { firstRules } from './first-rules.ts';
import type { IsolationRules } from './isolation-rules.ts';

/**
 * Limits speak, the guide may not hold what is wrong, and doubt caps the verdict. MODEL.md states
 * them in full.
 */
export const secondRules: IsolationRules = {
  ...firstRules,
  number: 2,
  circuit: { ...firstRules.circuit, leakSiemens: 5e-10, isLeakShared: true, openFromOhm: 1e7 },
  suspects: {
    ...firstRules.suspects,
    modes: ['open', 'high', 'short', 'film', 'weak', 'intermittent', 'stuck', 'leaky', 'welded'],
    leakyShare: 0.15,
    leakyCells: 4,
    shortHighOhm: 20,
    shortCells: 4,
    leakyLowShare: 0.02,
    leakyHighShare: 2,
    leakyLowOhm: 1e3,
    leakyHighOhm: 1e7,
    leakySpanCells: 3,
  },
  prediction: { ...firstRules.prediction, commonContactSigma: 0.5 },
  touch: { ...firstRules.touch, limitsSpeak: true },
  unknown: {
    share: 0.06,
    anyPart: 0.15,
    shortPart: 0.2,
    railPart: 0.1,
    inputPart: 0.05,
    valuesPart: 0.1,
    revisionPart: 0.2,
    padPart: 0.2,
    anyShows: 0.4,
    netOhm: 10,
    mostNets: 12,
    mostShorts: 200,
    shortLowOhm: 0.02,
    shortHighOhm: 2e5,
    shortCells: 5,
    railFactors: [
      [0, 0.5],
      [0.5, 0.9],
      [1.1, 2],
    ],
    wornFactors: [
      [2, 4],
      [4, 16],
    ],
    valueFactors: [
      [0.1, 0.6],
      [1.7, 10],
    ],
    revisionFactors: [[0.5, 8]],
    padLowOhm: 30,
    padHighOhm: 1e9,
    padCells: 6,
  },
  verdict: {
    isCapped: true,
    speaks: 3,
    leastConfirmBits: 0.05,
    leastSecond: 0.01,
    returnMinutes: 60,
    leastTogetherBits: 0.05,
  },
};
