import type { z } from 'zod';
import type { Circuit, CircuitState } from './circuit/circuit.ts';
import type { Check, CheckKindName, Fault, Guide, Level, Power } from './types.ts';

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
  /**
   * Unit-to-unit spread of the prediction, relative, one standard deviation; 0 where it has none.
   */
  spread: number;
}

/** Solves the device as a check finds it; the faults and the drawn values are the caller's. */
export type SolveFor = (how: {
  power: Power;
  pressed: string[];
  level: Level;
  access: string | undefined;
  bridge?: CircuitState['bridge'];
  /**
   * Links that are open at the moment, whatever else they are: an intermittent contact in its bad
   * one.
   */
  opened?: string[];
}) => Circuit;

/** A problem that a kind finds in one of its checks; `at` is the path inside the check. */
export interface CheckProblem {
  severity: 'error' | 'warning';
  code: string;
  at: (string | number)[];
  args: Record<string, string>;
}

/**
 * A kind of check as a guide knows it: its fields in a file, what the circuit predicts for it, and
 * what can be wrong with one.
 *
 * The kinds themselves are not the guide's: whoever reads a guide hands the table of them in.
 */
export interface CheckKind<C extends Check> {
  name: C['kind'];
  schema: z.ZodType<C>;
  predict(guide: Guide, check: C, solve: SolveFor, faults: readonly Fault[]): Prediction;
  /** Returns what is wrong with a check, whatever the circuit. */
  problems(guide: Guide, check: C): CheckProblem[];
  /**
   * Returns what is wrong with a check on a healthy device, beside limits that its prediction lies
   * outside; absent: nothing more.
   */
  healthyProblems?(check: C, healthy: Prediction, solve: SolveFor): CheckProblem[];
}

/** Every kind of check by its name, in the order in which the published schema lists them. */
export type CheckKinds = { readonly [K in CheckKindName]: CheckKind<Extract<Check, { kind: K }>> };

/** Returns the kind of a check, typed for any check: a kind only ever meets its own. */
export function kindOf(kinds: CheckKinds, check: Check): CheckKind<Check> {
  return kinds[check.kind] as unknown as CheckKind<Check>;
}
