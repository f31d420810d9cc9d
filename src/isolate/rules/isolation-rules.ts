import type { FaultMode } from '../../guide/types.ts';

/**
 * Everything that changes a belief, a conclusion or a plan. An entry that opens, resumes or adds to
 * a job names the number of the rules in force from there, so what a record concludes can be worked
 * out again for ever. MODEL.md beside this file states the current ones in full.
 */
export interface IsolationRules {
  /** The number that a record keeps. */
  readonly number: number;
  readonly circuit: {
    /**
     * From every node to the reference, so that no node floats, in siemens; shared out among the
     * nodes where `isLeakShared`.
     */
    readonly leakSiemens: number;
    readonly isLeakShared: boolean;
    /** The probe's closure between two pads, in ohm. */
    readonly closureOhm: number;
    /** Points that nothing joins read evenly in the logarithm from here to 1 Gohm. */
    readonly openFromOhm: number;
  };
  readonly suspects: {
    /** Ways of failing that suspects are made of. */
    readonly modes: readonly FaultMode[];
    /** `high`: from this, or this share of the link's own ohms. */
    readonly highLeastOhm: number;
    readonly highLeastShare: number;
    /** To this, or this many times where it begins. */
    readonly highMostOhm: number;
    readonly highMostFactor: number;
    readonly highCells: number;
    /** Share of `high` that lies beyond, up to 1 Gohm: a leaky open. */
    readonly leakyShare: number;
    readonly leakyCells: number;
    readonly filmLowOhm: number;
    readonly filmHighOhm: number;
    readonly filmCells: number;
    /** Films that the normal level does not break down. */
    readonly filmUnbrokenShare: number;
    /** A broken film's ohms lie within this factor of 20 ohm, either way. */
    readonly filmBrokenFactor: number;
    readonly weakLowOhm: number;
    readonly weakHighOhm: number;
    readonly weakCells: number;
    readonly shortLowOhm: number;
    readonly shortHighOhm: number;
    readonly shortCells: number;
    /** `leaky`: what lies across the link, as shares of its own ohms; of a gap in ohm. */
    readonly leakyLowShare: number;
    readonly leakyHighShare: number;
    readonly leakyLowOhm: number;
    readonly leakyHighOhm: number;
    readonly leakySpanCells: number;
  };
  readonly prediction: {
    /** Relative standard deviation that no predicted resistance is better than. */
    readonly leastOhmSigma: number;
    /** The same of volts, in volt. */
    readonly leastVoltSigma: number;
    /**
     * Rails: the nearer limit is so many standard deviations away, within these relative ends;
     * without limits the last.
     */
    readonly voltLimitSigmas: number;
    readonly leastVoltTolerance: number;
    readonly mostVoltTolerance: number;
    readonly usualVoltTolerance: number;
    /** A fault's own effect on a voltage is known to this share. */
    readonly faultVoltShare: number;
    /** Chance that a touch through a fault that is noticed wanders or drops out. */
    readonly unsteadyIntermittent: number;
    readonly unsteadyWeak: number;
    readonly unsteadyFilm: number;
    /** A fault's ohms wander by this factor. */
    readonly wanderFactor: number;
    /** What moves less is noticed in part: on the scale of ohms; relative to a voltage. */
    readonly noticedOhmScale: number;
    readonly noticedVoltShare: number;
    /** Unsteadiness adds this to the width: on the scale of ohms; in volt. */
    readonly wanderOhmScale: number;
    readonly wanderVolt: number;
    /**
     * Standard deviation of a contact's own ohms in a device whose contacts are worn, on the scale,
     * for all of a kind together; 0: none.
     */
    readonly commonContactSigma: number;
  };
  readonly touch: {
    /** Touches of a healthy device that wander or drop out. */
    readonly usualUnsteady: number;
    /** Touches with an intermittent contact that meet only its bad moments. */
    readonly badMoments: number;
    /** A touch that is held and flexed shows unsteadiness as so many touches. */
    readonly flexedTouches: number;
    /** What an unsteady reading may be off by: on the scale of ohms; in volt. */
    readonly unsteadyOhmSigma: number;
    readonly unsteadyVolt: number;
    /** Of two readings of one touch, on the scale of ohms. */
    readonly touchSigma: number;
    /**
     * On other pads than asked for: so many readings are opens, the others even in the logarithm
     * between these.
     */
    readonly wrongPadOpen: number;
    readonly wrongPadLowOhm: number;
    readonly wrongPadHighOhm: number;
    /** Volts: evenly between these. */
    readonly wrongPadLowVolt: number;
    readonly wrongPadHighVolt: number;
    /**
     * Bad presses of a steady key, what its unsteadiness adds, and how alike the presses of one key
     * are.
     */
    readonly badPress: number;
    readonly badPressUnsteady: number;
    readonly badPressWeight: number;
    /** The same of a key that is out of its limits. */
    readonly outsideBadPress: number;
    readonly outsideBadPressWeight: number;
    /** A reading inside its limits says that it is inside them, and no more. */
    readonly limitsSpeak: boolean;
  };
  /** What no fault of the guide stands for. */
  readonly unknown: {
    /** Share of faulty devices; 0: the guide holds all. */
    readonly share: number;
    /**
     * Of it: something that may show in any check; a short between two nets; a rail; an input;
     * values other than the guide's.
     */
    readonly anyPart: number;
    readonly shortPart: number;
    readonly railPart: number;
    readonly inputPart: number;
    readonly valuesPart: number;
    /**
     * Of it: lines or resistors of another revision, each with its own ohms; a pad that the tip
     * does not get through to.
     */
    readonly revisionPart: number;
    readonly padPart: number;
    /**
     * What may show in any check does so in each with this chance, as tips on any pads would read.
     */
    readonly anyShows: number;
    /** Links of less ohms than this join nodes to one net. */
    readonly netOhm: number;
    /** Nets of a unit, and shorts of a guide, that are reckoned with. */
    readonly mostNets: number;
    readonly mostShorts: number;
    readonly shortLowOhm: number;
    readonly shortHighOhm: number;
    readonly shortCells: number;
    /**
     * Ends of the factors of a rail's voltage, and of the ohms of all links of some kinds together.
     */
    readonly railFactors: readonly (readonly [number, number])[];
    readonly wornFactors: readonly (readonly [number, number])[];
    readonly valueFactors: readonly (readonly [number, number])[];
    readonly revisionFactors: readonly (readonly [number, number])[];
    /** Ohms between a tip and a pad that it does not get through to. */
    readonly padLowOhm: number;
    readonly padHighOhm: number;
    readonly padCells: number;
  };
  readonly verdict: {
    /** A leader that leaves readings unexplained is not named, and dear repairs are confirmed. */
    readonly isCapped: boolean;
    /** A piece of evidence speaks for one against another when it is so many times as probable. */
    readonly speaks: number;
    /** A check that may confirm must tell so much, in bits between the two. */
    readonly leastConfirmBits: number;
    /** A second fault less probable than this is as good as ruled out. */
    readonly leastSecond: number;
    /**
     * What a device costs that comes back, in minutes at the bench; 0: nothing is looked for once a
     * fault is named.
     */
    readonly returnMinutes: number;
    /**
     * Checks that tell little each are gone on with while they tell so much together, in bits; 0:
     * never.
     */
    readonly leastTogetherBits: number;
  };
  readonly pairs: {
    /** Chance that a device with a fault has a second, independent one. */
    readonly secondFaultShare: number;
    readonly mostPartners: number;
    readonly mostPairs: number;
    readonly mostKept: number;
    readonly worstGap: number;
    readonly mostCells: number;
    readonly ratedCells: number;
  };
  readonly repairs: {
    /** A new unit is good so often; its contacts to others are better for it so often. */
    readonly goodUnit: number;
    readonly goodContact: number;
    /** What a minute at the bench costs beside prices, in the guide's currency. */
    readonly minutePrice: number;
    /** A repair that would mend the device less often than this has no place in a plan. */
    readonly leastShare: number;
    /** The guide's chance of success is worth so many tries on the device at hand. */
    readonly worthTries: number;
  };
}
