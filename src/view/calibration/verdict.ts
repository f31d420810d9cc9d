import type { FitVerdict } from '../../calibrate/fit/fit-types.ts';
import { bracketed, type Mark } from '../words/mark.ts';
import type { Tone } from '../words/outcome.ts';

/** Every verdict on a fit of a calibration as mark and tone; its code is its word. */
export const verdictWords: Record<FitVerdict, { mark: Mark; tone: Tone }> = {
  good: { mark: 'pass', tone: 'pass' },
  doubtful: { mark: 'doubtful', tone: 'doubt' },
  refused: { mark: 'fail', tone: 'fail' },
};

/** Returns a verdict with its mark, in plain ASCII: `[+] good`. */
export function verdictText(verdict: FitVerdict): string {
  return `${bracketed(verdictWords[verdict].mark)} ${verdict}`;
}
