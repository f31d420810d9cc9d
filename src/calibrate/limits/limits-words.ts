import { shareAtLeast } from '../../statistics/percent.ts';
import { successRunShare } from '../../statistics/success-run.ts';

/**
 * Something to be said about a proposal of limits: a stable code and a sentence. `doubt`: it keeps
 * the limits from being written.
 */
export interface ProposalReason {
  code: string;
  text: string;
  doubt: boolean;
}

/** The sentences about proposals, in one place. */
export const proposalWords = {
  tooFew: (n: number, more: number): ProposalReason => ({
    code: 'units.few',
    text: `${n === 1 ? 'one unit is' : `${n} units are`} too few: chance alone would make the limits more than twice as wide as they should be; ${more} more would do`,
    doubt: true,
  }),
  notNormal: (n: number, enough: number): ProposalReason => ({
    code: 'shape.none',
    text: `the values look normal neither as they are nor as logarithms (Shapiro-Wilk, below 5 %), so limits would have to rest on the extremes of ${enough} units: ${enough - n} more`,
    doubt: true,
  }),
  outlier: (unit: string, value: string): ProposalReason => ({
    code: 'unit.outlying',
    text: `unit ${unit} (${value}) does not belong to the others; it is left out here. See what is wrong with it, then say --leave-out ${unit}`,
    doubt: true,
  }),
  opens: (opens: number, n: number, confidence: number): ProposalReason => ({
    code: 'reading.open',
    text:
      opens === n
        ? `all ${n} read open: that has no spread to work limits out from, so they stay as they are; it shows that ${shareAtLeast(successRunShare(n, confidence))} of good units read open (with the confidence asked)`
        : `${opens} of ${n} read open and the others did not: that is no one kind of unit`,
    doubt: opens !== n,
  }),
  noSpread: (): ProposalReason => ({
    code: 'spread.none',
    text: 'all values are the same, so they say nothing about how units differ: give them with more digits',
    doubt: true,
  }),
  belowZero: (): ProposalReason => ({
    code: 'limit.below-zero',
    text: 'the lower limit would be below zero, where no resistance is: it is left out',
    doubt: true,
  }),
  insideUncertainty: (room: string): ProposalReason => ({
    code: 'probe.coarse',
    text: `the limit is nearer to the units than the probe can tell (${room}): good units would come out borderline; calibrate the probe, or keep wider limits`,
    doubt: true,
  }),
  probeSpread: (): ProposalReason => ({
    code: 'probe.spread',
    text: "a good part of the spread may be the probe's own uncertainty; the limits hold for probes as good as this one",
    doubt: false,
  }),
};
