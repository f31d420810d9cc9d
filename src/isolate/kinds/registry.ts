import type { Evidence } from '../../checks/evidence.ts';
import type { Check, CheckKindName } from '../../guide/types.ts';
import { bridgeModel } from './bridge.ts';
import { dryNormalModel } from './dry-normal.ts';
import type { AnyKindModel, KindModel } from './kind-model.ts';
import { lookModel } from './look.ts';
import { pressesModel } from './presses.ts';
import { resistanceModel, steadyModel, voltageModel } from './reading.ts';

/** What isolation knows of every kind of check. */
const kindModels: { readonly [K in CheckKindName]: KindModel<K> } = {
  resistance: resistanceModel,
  voltage: voltageModel,
  look: lookModel,
  presses: pressesModel,
  bridge: bridgeModel,
  'dry-normal': dryNormalModel,
  steady: steadyModel,
};

/** Returns what isolation knows of the kind of a check or of a piece of evidence. */
export function kindModelOf({ kind }: Pick<Check | Evidence, 'kind'>): AnyKindModel {
  return kindModels[kind] as unknown as AnyKindModel;
}
