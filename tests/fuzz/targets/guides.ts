import { readFileSync } from 'node:fs';
import { guideProblems, parseGuide, predictChecks } from '../../../src/checks/guides.ts';
import { smallGuide } from '../../support/example-guide.ts';
import type { FuzzTarget } from '../target.ts';
import { bytesOf, textOf, yamlWords } from './text.ts';

const shortGuide = readFileSync(new URL('../../fixtures/short-guide.yaml', import.meta.url), 'utf8');

/** A device guide, up to what its author is told and what its circuit predicts. */
export const guides: FuzzTarget = {
  name: 'guides',
  executions: 20_000,
  mostBytes: 6_000,
  mostSteps: { base: 2_000_000, aByte: 2_000 },
  words: [
    ...yamlWords,
    ...['guide: 1', 'ohm', '2 ohm', 'max 2 ohm', '1e999 ohm', '-1 V', 'between: [key, board]', 'unit: key', 'GND'],
    ...['kind: presses', 'kind: bridge', 'kind: steady', 'kind: dry-normal', 'kind: look', 'kind: switch', 'from: A'],
    ...['rails:', 'inputs:', 'checks:', 'links:', 'repairs:', 'spread: 20 %', 'pads: [P1, P2]', '__proto__'],
  ],
  seeds: () => [smallGuide, shortGuide].map(bytesOf),
  run(bytes) {
    const parsed = parseGuide(textOf(bytes), 'guide.yaml');
    if (!parsed.ok) return parsed.problems;
    return { problems: guideProblems(parsed.guide), predicted: predictChecks(parsed.guide) };
  },
};
