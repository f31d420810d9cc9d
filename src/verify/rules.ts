import type { Guide } from '../guide/types.ts';
import { type Model, openModel } from '../isolate/predict/model.ts';
import { isolationRules } from '../isolate/rules/rules.ts';
import { proofBounds, proofRule } from '../measure/judge/proof-bounds.ts';
import { nominalCalibration } from '../measure/reading/nominal.ts';
import type { Calibration } from '../measure/types.ts';
import type { ProofRules } from './determined/proof-asked.ts';
import { rederiveEntry } from './evidence/rederive-entry.ts';

/** The formulas of one number of rules, as a verifier needs them. */
export interface RuleSet {
  /** Works an entry's reading and outcome out again from what stands in it. */
  rederive: typeof rederiveEntry;
  /** The calibration of a probe that was never calibrated. */
  nominal: Calibration;
  proofs: ProofRules;
  /**
   * A conclusion that nothing is wrong may carry the plan of before it was held against the
   * outcomes.
   */
  plansWhereNoneIsDue: boolean;
  /** Nothing is decided on a touch of which too many readings were lost. */
  lossMatters: boolean;
  /** Every caution of the guide is acknowledged before anything is measured. */
  cautionsFirst: boolean;
  /** Returns the model by which beliefs and conclusions are worked out again. */
  openModel(guide: Guide): Model;
}

/**
 * Every number of rules that this version can work out. Only a verifier looks here: sessions know
 * the rules of today alone. What the fold itself must know of a number stands in `record/entries/rules.ts`.
 */
const ruleSets: ReadonlyMap<number, RuleSet> = new Map<number, RuleSet>([
  [
    1,
    {
      rederive: rederiveEntry,
      nominal: nominalCalibration,
      proofs: { bounds: proofBounds, rule: proofRule },
      plansWhereNoneIsDue: true,
      lossMatters: false,
      cautionsFirst: false,
      openModel: (guide) => openModel(guide, isolationRules[1]),
    },
  ],
  [
    2,
    {
      rederive: rederiveEntry,
      nominal: nominalCalibration,
      proofs: { bounds: proofBounds, rule: proofRule },
      plansWhereNoneIsDue: false,
      lossMatters: true,
      cautionsFirst: true,
      openModel: (guide) => openModel(guide, isolationRules[2]),
    },
  ],
]);

/** Returns the formulas of a number of rules; null when this version does not know them. */
export function ruleSetOf(rules: number): RuleSet | null {
  return ruleSets.get(rules) ?? null;
}
