// A probe that refuses to measure because of a voltage on its tips: it is asked again by its own clock, for nothing else would tell that the voltage went.
import { describe, expect, test } from 'vitest';
import { stepJob } from '../../../src/session/job/job-reducer.ts';
import type { Effect, JobSessionEvent, JobSessionState } from '../../../src/session/job/job-session-state.ts';
import { DryBench } from '../../support/dry-bench.ts';

/** Gives events without carrying anything out, and returns what was asked for. */
function give(state: JobSessionState, ...events: JobSessionEvent[]): { state: JobSessionState; effects: Effect[] } {
  const effects: Effect[] = [];
  for (const event of events) {
    const step = stepJob(state, event);
    state = step.state;
    effects.push(...step.effects);
  }
  return { state, effects };
}

const kinds = (effects: Effect[]) => effects.map((effect) => (effect.do === 'append' ? effect.entry.kind : effect.do));
const at = (tUs: number): JobSessionEvent => ({ type: 'clock', tUs });
const refused: JobSessionEvent = { type: 'mode-refused' };

describe('a refused mode', () => {
  const opened = new DryBench().opened().state;
  // as if the probe had not yet answered
  const arming = { ...opened, run: { ...opened.run!, stage: 'arming' as const } };

  test('is put on record and said once, however often it is refused', () => {
    const first = give(arming, at(1_000_000), refused);
    expect(kinds(first.effects)).toEqual(['live', 'sound', 'prompt']);
    const again = give(first.state, at(1_100_000), at(1_300_000), refused, at(1_400_000), at(1_600_000), refused);
    expect(kinds(again.effects)).toEqual(['mode', 'mode']);
    expect(again.state.run?.stage).toBe('live');
  });

  test('is asked for anew when the voltage is gone, with the same check', () => {
    const { state } = give(arming, at(1_000_000), refused, at(1_300_000));
    const { state: after, effects } = give(state, { type: 'mode-set' });
    expect(after.tasks[after.at]).toEqual(opened.tasks[opened.at]);
    expect(kinds(effects)).toContain('mode');
    expect(after.run?.stage).toBe('arming');
    // the device is not known to be off any more
    expect(kinds(effects)).toContain('power');
  });
});
