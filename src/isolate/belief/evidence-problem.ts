import type { Evidence, Measured } from '../../checks/evidence.ts';
import { openOhm } from '../../guide/circuit/faults.ts';
import type { CheckKindName, Guide } from '../../guide/types.ts';
import { kindModelOf } from '../kinds/registry.ts';

/** Why a belief can't be worked out from what was given. */
export interface BeliefProblem {
  code:
    | 'evidence.unknown-check'
    | 'evidence.wrong-kind'
    | 'evidence.not-a-number'
    | 'evidence.not-physical'
    | 'evidence.count'
    | 'repair.unknown'
    | 'repair.place';
  /** Number of the piece of evidence or of the repair, from 0. */
  at: number;
  /** What is wrong, and where. */
  what: string;
  /** What to do. */
  help: string;
}

/** Returns what is wrong with a piece of evidence about a guide; null when it can be used. */
export function evidenceProblem(guide: Guide, evidence: Evidence, at: number): BeliefProblem | null {
  const check = guide.checks.find((one) => one.id === evidence.check);
  const refuse = (code: BeliefProblem['code'], what: string, help: string): BeliefProblem => ({ code, at, what, help });
  if (check === undefined) {
    return refuse(
      'evidence.unknown-check',
      `guide '${guide.id}' has no check '${evidence.check}'`,
      `Its checks are: ${guide.checks.map(({ id }) => id).join(', ')}.`,
    );
  }
  if (check.kind !== evidence.kind || !isOfQuantity(evidence)) {
    const what = `check '${check.id}' is of kind ${check.kind} and does not take ${kindModelOf(evidence).takes}`;
    return refuse(
      'evidence.wrong-kind',
      what,
      `Give it ${kindModelOf(check).takes}${check.kind === 'voltage' ? ' in volts' : ''}.`,
    );
  }
  const numbers = kindModelOf(evidence).measured(evidence);
  if (numbers.some((one) => !isUsable(one))) {
    const numbers = `a value of check '${check.id}' or its uncertainty`;
    const what = `${numbers} is not a finite number, or the uncertainty is negative`;
    return refuse('evidence.not-a-number', what, 'Measure it again.');
  }
  if (numbers.some((one) => !isPhysical(one, evidence.kind))) {
    const what = `a value of check '${check.id}' is one that no battery-powered device shows`;
    return refuse('evidence.not-physical', what, 'Mind its sign and its unit, and measure it again.');
  }
  if (evidence.kind === 'presses') {
    const { bad, count } = evidence;
    if (!Number.isInteger(bad) || !Number.isInteger(count) || count < 1 || bad < 0 || bad > count) {
      return refuse(
        'evidence.count',
        `check '${check.id}' counts ${bad} bad of ${count} presses`,
        'Give whole numbers, at most all of them bad.',
      );
    }
  }
  return null;
}

function isOfQuantity(evidence: Evidence): boolean {
  return !('quantity' in evidence) || (evidence.quantity === 'voltage') === (evidence.kind === 'voltage');
}

function isUsable({ value, u }: Measured): boolean {
  return Number.isFinite(value) && Number.isFinite(u) && u >= 0;
}

/**
 * A resistance so far below zero, in its standard uncertainties, is none; the probe itself calls 3
 * of them below its range.
 */
const mostBelow = 10;
/** The end of extra-low voltage, direct (IEC 61140, from memory: 120 V). */
const mostVolt = 120;

/** A bound, and what says nothing, may be anything. */
function isPhysical({ value, u, state }: Measured, kind: CheckKindName): boolean {
  if (state !== 'in-range') return true;
  if (kind === 'voltage' || kind === 'bridge') return Math.abs(value) <= mostVolt;
  return value >= -mostBelow * Math.max(u, 0.001) && value <= openOhm;
}
