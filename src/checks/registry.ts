import { z } from 'zod';
import type { Check, CheckKindName } from '../guide/types.ts';
import { bridgeKind } from './bridge.ts';
import { dryNormalKind } from './dry-normal.ts';
import type { CheckKind } from './kind.ts';
import { lookKind } from './look.ts';
import { pressesKind } from './presses.ts';
import { resistanceKind } from './resistance.ts';
import { steadyKind } from './steady.ts';
import { voltageKind } from './voltage.ts';

/** Every kind of check. */
export const checkKinds = {
  resistance: resistanceKind,
  voltage: voltageKind,
  look: lookKind,
  presses: pressesKind,
  bridge: bridgeKind,
  'dry-normal': dryNormalKind,
  steady: steadyKind,
} satisfies { [K in CheckKindName]: CheckKind<Extract<Check, { kind: K }>> };

/** A check in a guide file, by its `kind`. */
export const checkSchema = z.discriminatedUnion('kind', [
  resistanceKind.schema,
  voltageKind.schema,
  lookKind.schema,
  pressesKind.schema,
  bridgeKind.schema,
  dryNormalKind.schema,
  steadyKind.schema,
]);

export const checkKindNames = Object.keys(checkKinds) as CheckKindName[];

/** Returns the kind of a check, typed for any check: a kind only ever meets its own. */
export function kindOf(check: Check): CheckKind<Check> {
  return checkKinds[check.kind] as unknown as CheckKind<Check>;
}
