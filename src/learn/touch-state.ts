import { type CircuitState, restingState } from '../guide/circuit/circuit-state.ts';
import type { SittingTouch } from './sitting-plan.ts';

/** What of a touch says how the device stands. */
interface TouchedState extends Pick<SittingTouch, 'access'> {
  pressed: readonly string[];
}

/** Returns the state of a good device at a touch: taken apart so far, with these keys held. */
export function touchState({ access, pressed }: TouchedState): CircuitState {
  return { ...restingState, pressed: [...pressed], access: access ?? undefined };
}
