import { expect } from 'vitest';
import { defaultContactSettings } from '../../../src/measure/contact/contact-settings.ts';
import { type ContactState, ContactTracker, startContact } from '../../../src/measure/contact/contact-tracker.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { ContactHappening, ContactSettings } from '../../../src/measure/types.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { periodUs, type Script } from '../../support/probe-stream.ts';

export const open = Number.POSITIVE_INFINITY;
export const voltSeated = flagBits.voltage | flagBits.seatA | flagBits.seatB;
export const checkInput = flagBits.excitation | flagBits.auto | flagBits.inputHigh;

export interface Run {
  state: ContactState;
  happenings: Exclude<ContactHappening, { kind: 'settling' }>[];
  progress: number[];
}

export function run(script: Script, settings: Partial<ContactSettings> = {}, mustLift = false): Run {
  const tracker = new ContactTracker(
    startContact({ ...defaultContactSettings, ...settings }, nominalCalibration, mustLift),
  );
  const happenings: Run['happenings'] = [];
  const progress: number[] = [];
  for (const batch of script.batches()) {
    for (const happening of tracker.push(batch)) {
      if (happening.kind === 'settling') progress.push(happening.progress);
      else happenings.push(happening);
    }
  }
  return { state: tracker.state(), happenings, progress };
}

export function kinds({ happenings }: Run): string[] {
  return happenings.map(({ kind }) => kind);
}

export function only<K extends ContactHappening['kind']>(
  { happenings }: Run,
  kind: K,
): Extract<ContactHappening, { kind: K }> {
  const found = happenings.filter((happening) => happening.kind === kind);
  expect(found).toHaveLength(1);
  return found[0] as unknown as Extract<ContactHappening, { kind: K }>;
}

/** Tips come down on a path of a few tenths of an ohm: the probe goes down through its ranges and drops a reading each time. */
export function touchDown(script: Script, ohm = 0.43): Script {
  return script.air(50_000).ohm(periodUs, ohm, 4).gap(periodUs).ohm(periodUs, ohm, 2).gap(periodUs);
}
