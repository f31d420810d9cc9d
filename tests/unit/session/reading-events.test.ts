import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readingFlags } from '../../../src/protocol/flags.ts';
import type { ReadingBatch } from '../../../src/protocol/reading-batch.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { JobReadingEvents } from '../../../src/session/job/reading-events.ts';

const seated = flagBits.seatA | flagBits.seatB;
const measuring = flagBits.excitation | flagBits.auto;

function batch(bits: number, index: number): ReadingBatch {
  const codes = new Uint16Array(8).fill(400);
  const tUs = 1_000_000 + index * 884;
  return { index, tUs, periodUs: 884, range: 1, flags: readingFlags(bits), flagBits: bits, lost: 0, edges: 0, codes };
}

const ohms = { mode: 'resistance', level: 'normal', input: 'tips' } as const;

/** What a watch tells of a second of steady touch, by kind. */
function told(watch: JobReadingEvents, bits: number): string[] {
  const kinds: string[] = [];
  for (let index = 0; index < 800; index += 8) {
    for (const event of watch.readings(batch(bits, index))) {
      if (event.type === 'contact') kinds.push(event.contact.kind);
      else if (event.type !== 'clock') kinds.push(event.type);
    }
  }
  return kinds;
}

describe('tips when a probe is found', () => {
  test('that stand on something are told of, and are no touch', () => {
    const watch = new JobReadingEvents();
    watch.forget(true);
    watch.readings(batch(flagBits.voltage | seated, 0));
    watch.start(ohms, { tracking: 'touch' }, nominalCalibration);
    const kinds = told(watch, measuring | seated);
    expect(kinds[0]).toBe('standing');
    expect(kinds).not.toContain('captured');
  });

  test('that were seen in the air before the task are taken at once, however early they touch', () => {
    const watch = new JobReadingEvents();
    watch.forget(true);
    watch.readings(batch(flagBits.voltage, 0));
    watch.start(ohms, { tracking: 'touch' }, nominalCalibration);
    const kinds = told(watch, measuring | seated);
    expect(kinds).toContain('captured');
    expect(kinds).not.toContain('standing');
  });

  test('of a probe that does not feel them are not taken to be in the air', () => {
    const watch = new JobReadingEvents();
    watch.forget(false);
    watch.readings(batch(flagBits.voltage, 0));
    watch.start(ohms, { tracking: 'touch' }, nominalCalibration);
    expect(told(watch, measuring)).not.toContain('captured');
  });
});
