import type { Prediction } from '../guide/check-kind.ts';
import { type DeviceState, predictWith } from '../guide/circuit/predict.ts';
import { type ParsedGuide, parseGuideWith } from '../guide/file/parse.ts';
import { problemsWith } from '../guide/problems/problems.ts';
import type { Guide, GuideProblem } from '../guide/types.ts';
import { checkKinds } from './registry.ts';

/** What the guide room does with a table of kinds, done with every kind that there is. */

/**
 * Returns the guide in a YAML text, or every problem that keeps it from being one; see
 * `guide/file/parse.ts`. Never throws.
 */
export function parseGuide(text: string, fileName: string): ParsedGuide {
  return parseGuideWith(text, fileName, checkKinds);
}

/**
 * Returns what a guide's author should know before a device is on the bench; see
 * `guide/problems/problems.ts`.
 */
export function guideProblems(guide: Guide): GuideProblem[] {
  return problemsWith(guide, checkKinds);
}

/**
 * Returns what the circuit predicts for every check of a guide, in the guide's order; a healthy
 * device by default.
 */
export function predictChecks(guide: Guide, device: DeviceState = {}): Prediction[] {
  return predictWith(guide, checkKinds, device);
}
