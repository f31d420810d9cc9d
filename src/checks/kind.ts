import { z } from 'zod';
import type { Circuit, CircuitState } from '../guide/circuit/circuit.ts';
import { id, minutes, quantity, text } from '../guide/file/fields.ts';
import type { Check, CheckCommon, Fault, Guide, Level, Power } from '../guide/types.ts';

/** What the circuit says that a check will show. */
export interface Prediction {
  check: string;
  kind: Check['kind'];
  /** Of a press check: `ohm` with the key pressed, `releasedOhm` without. */
  predicted: {
    ohm?: number;
    releasedOhm?: number;
    volt?: number;
    answer?: 'yes' | 'no';
    /** Of a touch at two levels: `ohm` at the normal one, this at the dry one. */
    dryOhm?: number;
    /** Of a bridge: the voltage across the pads before and during the closure. */
    idleVolt?: number;
    closedVolt?: number;
    /** The idle voltage is inside its limits and collapses: the closure can be shown to conduct. */
    proven?: boolean;
    /** The closure makes the input respond, which it did not before. */
    responds?: boolean;
  };
  /** Null for what has no limits. */
  insideLimits: boolean | null;
  /** A weak or intermittent link carries a part of the reading. */
  unsteady: boolean;
  /** Unit-to-unit spread of the prediction, relative, one standard deviation; 0 where it has none. */
  spread: number;
}

/** Solves the device as a check finds it; the faults and the drawn values are the caller's. */
export type SolveFor = (how: {
  power: Power;
  pressed: string[];
  level: Level;
  access: string | undefined;
  bridge?: CircuitState['bridge'];
  /** Links that are open at the moment, whatever else they are: an intermittent contact in its bad one. */
  opened?: string[];
}) => Circuit;

/** One thing that the technician does for a check, in order. Which words ask for it is the bench's affair. */
export type Act =
  | { act: 'open'; access: string }
  | { act: 'power'; power: Power }
  | { act: 'hold'; keys: string[] }
  | { act: 'touch'; pads: [string, string] }
  | { act: 'press'; key: string; count: number }
  | { act: 'flex' }
  | { act: 'answer'; question: string };

/** A problem that a kind finds in one of its checks; `at` is the path inside the check. */
export interface CheckProblem {
  severity: 'error' | 'warning';
  code: string;
  at: (string | number)[];
  args: Record<string, string>;
}

/**
 * A kind of check: its fields in a guide file, what the circuit predicts for it, what it asks of the hands.
 *
 * A new kind is one file beside this one, its two lines in `registry.ts` and its type in `types.ts`.
 */
export interface CheckKind<C extends Check> {
  name: C['kind'];
  schema: z.ZodType<C>;
  predict(guide: Guide, check: C, solve: SolveFor, faults: readonly Fault[]): Prediction;
  acts(check: C): Act[];
  problems(guide: Guide, check: C): CheckProblem[];
}

/** The fields that every kind has, as they stand in a file. */
export const commonFields = {
  id,
  title: text,
  power: z.enum(['off', 'on'], { error: 'power.form' }).default('off'),
  access: id.optional(),
  minutes: minutes.default(1),
  prompt: text,
  dwell: quantity('second', 0.001).optional(),
};

/** Returns a check with its `dwell` in milliseconds, under the name that says so. */
export function withDwellMs<T extends { dwell?: number | undefined }>({ dwell, ...rest }: T) {
  return dwell === undefined ? rest : { ...rest, dwellMs: dwell * 1e3 };
}

/** Returns the acts that come before a check's own: opening the device, switching it on or off. */
export function preparingActs(check: CheckCommon): Act[] {
  const acts: Act[] = [{ act: 'power', power: check.power }];
  if (check.access !== undefined) acts.unshift({ act: 'open', access: check.access });
  return acts;
}
