import { expect } from 'vitest';
import { defaultContactSettings } from '../../../src/measure/contact/contact-settings.ts';
import { type ContactState, ContactTracker, startContact } from '../../../src/measure/contact/contact-tracker.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { ContactEvent, ContactSettings } from '../../../src/measure/types.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { periodUs, type Script } from '../../support/probe-stream.ts';

export const open = Number.POSITIVE_INFINITY;
export const voltSeated = flagBits.voltage | flagBits.seatA | flagBits.seatB;
export const checkInput = flagBits.excitation | flagBits.auto | flagBits.inputHigh;

export interface Run {
  state: ContactState;
  contactEvents: Exclude<ContactEvent, { kind: 'settling' }>[];
  progress: number[];
}

export function run(script: Script, settings: Partial<ContactSettings> = {}, mustLift = false): Run {
  const tracker = new ContactTracker(
    startContact({ ...defaultContactSettings, ...settings }, nominalCalibration, mustLift),
  );
  const contactEvents: Run['contactEvents'] = [];
  const progress: number[] = [];
  for (const batch of script.batches()) {
    for (const contactEvent of tracker.push(batch)) {
      if (contactEvent.kind === 'settling') progress.push(contactEvent.progress);
      else contactEvents.push(contactEvent);
    }
  }
  return { state: tracker.state(), contactEvents, progress };
}

export function kinds({ contactEvents }: Run): string[] {
  return contactEvents.map(({ kind }) => kind);
}

export function only<K extends ContactEvent['kind']>(
  { contactEvents }: Run,
  kind: K,
): Extract<ContactEvent, { kind: K }> {
  const found = contactEvents.filter((contactEvent) => contactEvent.kind === kind);
  expect(found).toHaveLength(1);
  return found[0] as unknown as Extract<ContactEvent, { kind: K }>;
}

/** Tips come down on a path of a few tenths of an ohm: the probe goes down through its ranges and drops a reading each time. */
export function touchDown(script: Script, ohm = 0.43): Script {
  return script.air(50_000).ohm(periodUs, ohm, 4).gap(periodUs).ohm(periodUs, ohm, 2).gap(periodUs);
}
