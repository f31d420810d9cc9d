import { type Closure, type ClosureProof, proveClosure, wholeMs } from '../../measure/judge/closure.ts';
import { decide } from '../../measure/judge/decide.ts';
import { formatLimits, formatReading } from '../../measure/reading/format.ts';
import type { Calibration, Limits, Outcome, Reading, Rule } from '../../measure/types.ts';
import { type ReadWindow, readingOf } from '../judge-reading.ts';
import type { Judged } from '../kind.ts';

/** One try at a bridge. */
export interface RawBridge {
  /** The voltage across the pads before the closure. */
  idle: ReadWindow;
  /** Null: the bridge was not closed. `proof` where that was worked out already. */
  closed: (Closure & { proof?: ClosureProof | null }) | null;
  calibration: Calibration;
  /** Of the idle voltage. */
  limits: Limits;
  rule: Rule;
  durationMs: number;
  collapse: number;
  /** Null: nobody was asked. */
  response: Response | null;
}

/** What a person, the button or the light sensor said of the device, and whether it may count. */
export interface Response {
  answer: 'yes' | 'no' | 'unsure';
  /** It did the same before the bridge closed: what it did after is no answer to it. */
  respondedBefore: boolean;
  /** From closing to the change of light, in microseconds; null when no sensor saw it. */
  delayUs: number | null;
}

/**
 * Returns what a bridge check comes to. Pass and fail need a proven closure and an answer; an idle
 * voltage outside its limits is a fail of its own, and the bridge is then not closed. Everything
 * else is borderline: it says nothing of the device.
 *
 * `proof` null: not closed; `response` null: not asked.
 */
export function decideBridge(
  idle: Reading,
  limits: Limits,
  rule: Rule,
  proof: ClosureProof | null,
  response: Response | null,
): { outcome: Extract<Outcome, 'pass' | 'fail' | 'borderline'>; why: string } {
  const before = decide(idle, limits, rule);
  if (before.outcome !== 'pass') {
    return { outcome: before.outcome, why: `idle voltage: ${before.why}; the bridge was not closed` };
  }
  if (proof === null)
    return {
      outcome: 'borderline',
      why: `idle ${formatReading(idle)}, as wanted: ${formatLimits(limits)}; the bridge was not closed`,
    };
  if (!proof.proven) return { outcome: 'borderline', why: proof.why };
  if (response === null) return { outcome: 'borderline', why: `${proof.why}; what the device did is not known` };
  if (response.respondedBefore) {
    return {
      outcome: 'borderline',
      why: `${proof.why}; but the device responded before the bridge closed, so its response is none to it`,
    };
  }
  const { answer, delayUs } = response;
  if (answer === 'unsure')
    return { outcome: 'borderline', why: `${proof.why}; whether the device responded is not sure` };
  if (answer === 'no') return { outcome: 'fail', why: `${proof.why}; the device did not respond` };
  return {
    outcome: 'pass',
    why: `${proof.why}; the device responded${delayUs === null ? '' : ` after ${wholeMs(delayUs)}`}`,
  };
}

/**
 * Returns what a try at a bridge comes to: the idle voltage, whether the closure is proven, and the
 * outcome.
 */
export function judgeBridge(raw: RawBridge): Judged & { reading: Reading; proof: ClosureProof | null } {
  const { closed, calibration, limits, rule, response } = raw;
  const reading = readingOf(raw.idle, calibration);
  const proof = closed === null ? null : (closed.proof ?? proveClosure(reading, closed, raw, calibration));
  return { reading, proof, ...decideBridge(reading, limits, rule, proof, response) };
}
