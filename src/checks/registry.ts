import type { CheckKinds } from '../guide/check-kind.ts';
import { bridgeKind } from './bridge.ts';
import { dryNormalKind } from './dry-normal.ts';
import { lookKind } from './look.ts';
import { pressesKind } from './presses.ts';
import { resistanceKind } from './resistance.ts';
import { steadyKind } from './steady.ts';
import { voltageKind } from './voltage.ts';

/** Every kind of check, as guides are read with. */
export const checkKinds = {
  resistance: resistanceKind,
  voltage: voltageKind,
  look: lookKind,
  presses: pressesKind,
  bridge: bridgeKind,
  'dry-normal': dryNormalKind,
  steady: steadyKind,
} satisfies CheckKinds;
