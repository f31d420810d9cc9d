import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checkKinds } from '../../../src/checks/registry.ts';
import { loadGuide } from '../../../src/guide/file/load.ts';
import {
  fieldInHand,
  type Intake,
  refusalOf,
  revisionChoices,
  startIntake,
  stepIntake,
} from '../../../src/view/job/intake.ts';
import type { KeyPress } from '../../../src/view/job/keyboard.ts';

const { guide } = await loadGuide('examples/field-recorder.yaml', checkKinds);
const enter: KeyPress = { input: '', return: true };
const down: KeyPress = { input: '', down: true };
const back: KeyPress = { input: '', escape: true };
const typed = (text: string): KeyPress[] => [...text].map((input) => ({ input }));
const pressing = (intake: Intake, keys: KeyPress[]): Intake => keys.reduce(stepIntake, intake);

describe('the intake', () => {
  test('asks nothing that the options gave', () => {
    const given = {
      revision: 'A',
      ticket: 'T1',
      symptom: 'dead',
      serial: '7',
      customer: 'M. Example',
      contact: 'desk 4',
    };
    expect(startIntake(guide, given)).toMatchObject({ done: true, fields: given });
    expect(fieldInHand(startIntake(guide, { revision: 'A', ticket: 'T1' }))).toBe('symptom');
    const { customer: _, contact: __, ...rest } = given;
    // who gave the rest as options is not held up for what may be left out: the demo begins at once
    expect(startIntake(guide, rest)).toMatchObject({ done: true, fields: rest });
  });

  test('takes revision, ticket, symptom and serial one after another; an empty line is no entry', () => {
    const end = pressing(startIntake(guide, {}), [
      down,
      enter,
      ...typed('T7'),
      enter,
      enter,
      ...typed('SN 1'),
      enter,
      ...typed('M. Bench'),
      enter,
      enter,
    ]);
    expect(end).toMatchObject({
      done: true,
      fields: { revision: 'B', ticket: 'T7', serial: 'SN 1', technician: 'M. Bench' },
    });
    expect(end.fields).not.toHaveProperty('symptom');
  });

  test('asks how to reach a customer only when there is one', () => {
    const asked = startIntake(guide, { revision: 'A', ticket: 'T1', symptom: 'dead', technician: 'M. Bench' });
    const upTo = pressing(asked, [...typed('7'), enter]);
    expect(fieldInHand(upTo)).toBe('customer');
    expect(pressing(upTo, [enter])).toMatchObject({ done: true });
    expect(pressing(upTo, [enter]).fields).not.toHaveProperty('customer');
    const named = pressing(upTo, [...typed('M. Example'), enter]);
    expect(fieldInHand(named)).toBe('contact');
    expect(pressing(named, [...typed('desk 4'), enter])).toMatchObject({
      done: true,
      fields: { customer: 'M. Example', contact: 'desk 4' },
    });
  });

  test('a revision that the guide refuses needs a reason; it can also be taken back', () => {
    const at = revisionChoices(guide).findIndex(({ refused }) => refused !== null);
    expect(at).toBeGreaterThan(0);
    const refused = pressing(startIntake(guide, {}), [...Array.from({ length: at }, () => down), enter]);
    expect(fieldInHand(refused)).toBe('override');
    expect(refusalOf(refused)).toBe(guide.revisions.not[0]!.reason);
    expect(fieldInHand(pressing(refused, [enter, ...typed('  '), enter]))).toBe('override');
    expect(pressing(refused, [...typed('board reworked'), enter]).fields.override).toBe('board reworked');
    const other = pressing(refused, [
      back,
      ...Array.from({ length: revisionChoices(guide).length - at }, () => down),
      enter,
    ]);
    expect(other.fields).toEqual({ revision: guide.revisions.holds[0] });
    expect(fieldInHand(other)).toBe('ticket');
  });

  test('a refused revision given as an option asks for the reason only', () => {
    expect(fieldInHand(startIntake(guide, { revision: 'C' }))).toBe('override');
    expect(fieldInHand(startIntake(guide, { revision: 'none such' }))).toBe('override');
    expect(fieldInHand(startIntake(guide, { revision: 'C', override: 'seen it before' }))).toBe('ticket');
  });

  test('going back keeps what was typed', () => {
    const ticket = pressing(startIntake(guide, { revision: 'A' }), [...typed('T9'), enter]);
    expect(pressing(ticket, [back])).toMatchObject({ draft: 'T9' });
    expect(pressing(ticket, [back, { input: '', backspace: true }, enter]).fields.ticket).toBe('T');
  });

  test('whatever is typed: no control characters, nothing beyond the longest text, done only with a revision', () => {
    const anyKey: fc.Arbitrary<KeyPress> = fc.oneof(
      fc.constantFrom(
        enter,
        down,
        back,
        { input: '', up: true },
        { input: '', backspace: true },
        { input: 'c', ctrl: true },
      ),
      fc.record({ input: fc.string({ unit: 'binary', maxLength: 2 }) }),
    );
    fc.assert(
      fc.property(fc.array(anyKey, { maxLength: 60 }), (keys) => {
        const { fields, done } = pressing(startIntake(guide, {}), keys);
        for (const text of Object.values(fields)) {
          expect(text).not.toMatch(/\p{Cc}/u);
          expect(text.length).toBeLessThanOrEqual(200);
        }
        if (done) expect(revisionChoices(guide).map((c) => c.revision)).toContain(fields.revision);
        if (done && !guide.revisions.holds.includes(fields.revision!)) expect(fields.override).toBeTruthy();
      }),
    );
  });
});
