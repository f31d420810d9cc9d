import fc from 'fast-check';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { Entry, EntryKind, EntryOf } from '../../../src/record/entries/entries.ts';
import { contact } from '../../support/sample-job.ts';

/** Few ids, so that entries meet; among them names that every plain object answers to. */
const checkIds = ['spring', 'key', 'lens', '__proto__', 'constructor', 'toString', 'hasOwnProperty'];
const check = fc.constantFrom(...checkIds);
const finite = fc.double({ noNaN: true, noDefaultInfinity: true });
const positive = fc.double({ min: 1e-9, max: 1e9, noNaN: true });
const share = fc.double({ min: 0, max: 1, noNaN: true });
const count = fc.integer({ min: 0, max: 100_000 });
const text = fc.string({ unit: 'binary', maxLength: 12 });
const name = fc.string({ unit: 'binary', minLength: 1, maxLength: 8 });
const by = fc.constantFrom('person', 'button', 'hands', 'option' as const);
const outcome = fc.constantFrom('pass', 'fail', 'borderline', 'unsteady', 'no-contact', 'live' as const);
const phase = fc.constantFrom('before', 'after' as const);
const serial = fc.constantFrom(4711, 99);
const calibrationId = fc.constantFrom('nominal', 'other');
const sha = fc
  .array(fc.constantFrom(...'0123456789abcdef'), { minLength: 64, maxLength: 64 })
  .map((all) => all.join(''));
const at = fc
  .date({ min: new Date('2000-01-01T00:00:00.000Z'), max: new Date('2099-12-31T00:00:00.000Z'), noInvalidDate: true })
  .map((date) => date.toISOString());

const bounds = fc.oneof(
  fc.record({ max: finite }),
  fc.record({ min: finite }),
  fc.record({ min: finite, max: finite }),
);
const limits = bounds.chain((some) =>
  fc.constantFrom('resistance', 'voltage' as const).map((quantity) => ({ quantity, ...some })),
);
const rule = fc.oneof(
  fc.constant({ name: 'simple' as const }),
  fc.record({ name: fc.constant('guarded' as const), p: fc.double({ min: 0.5, max: 1, noNaN: true }) }),
);
const level = fc.constantFrom('normal', 'dry' as const);
const window = fc.record({
  tUs: finite,
  periodUs: positive,
  range: fc.integer({ min: 0, max: 5 }),
  level,
  flagBits: fc.integer({ min: 0, max: 0xffff }),
  codes: fc.array(fc.integer({ min: 0, max: 16_368 }), { maxLength: 6 }),
});
const source = { probeSerial: serial, calibration: calibrationId };
const capture = fc.option(fc.record({ window, contact: fc.constant(contact), ...source }));
const someReading = fc.record({
  value: finite,
  u: positive,
  dof: positive,
  state: fc.constantFrom('in-range', 'above-range', 'below-range', 'unreadable' as const),
});
const reading = fc.option(someReading);
const touch = fc.record({
  capture: fc.record({ window, contact: fc.constant(contact), ...source }),
  reading: someReading,
});
const attempted = { check, attempt: fc.integer({ min: 1, max: 9 }), phase };
const counts = fc.record({
  checks: count,
  passed: count,
  failed: count,
  undecided: count,
  skipped: count,
  notDone: count,
  attempts: count,
  gaps: count,
  live: count,
});

type Fields<K extends EntryKind> = Omit<EntryOf<K>, 'prev' | 'n' | 'at' | 'kind'>;

function entryOf<K extends EntryKind>(kind: K, fields: fc.Arbitrary<Fields<K>>): fc.Arbitrary<Entry> {
  const chained = fc.record({ prev: sha, n: fc.integer({ min: 1, max: 9_999 }), at });
  return fc.tuple(chained, fields).map(([place, rest]) => ({ ...place, kind, ...rest }) as unknown as Entry);
}

/** Draws an entry of any kind, valid by the schema; an opening rarely lists no checks. */
export const anyEntry: fc.Arbitrary<Entry> = fc.oneof(
  entryOf(
    'opened',
    fc.record({
      format: fc.constant(1 as const),
      job: fc.constant('2031-05-17-abcdef'),
      tool: name,
      guide: fc.record({
        id: name,
        title: text,
        sha256: sha,
        text,
        checks: fc.uniqueArray(
          check.map((id) => ({ id, title: id, kind: 'resistance' })),
          { selector: ({ id }) => id, maxLength: 4 },
        ),
      }),
      device: fc.record({ maker: text, name: text, revision: text }),
      revision: fc.record({ holds: fc.boolean() }),
    }),
  ),
  entryOf('caution', fc.record({ id: name, text, by })),
  entryOf(
    'probe',
    fc.record({
      identity: fc.record({
        protoMajor: count,
        protoMinor: count,
        fwMajor: count,
        fwMinor: count,
        fwBuild: count,
        probeSerial: serial,
        capabilities: fc.array(text, { maxLength: 2 }),
        resetCause: fc.array(text, { maxLength: 2 }),
        bootCount: count,
        maxPayload: count,
      }),
      path: text,
      calibration: calibrationId.map((id) => ({ ...nominalCalibration, id })),
      calibrationState: text,
    }),
  ),
  {
    weight: 4,
    arbitrary: entryOf(
      'proof',
      fc.record({
        when: fc.constantFrom('opening', 'closing' as const),
        what: fc.constantFrom('shorted-tips', 'check-resistor' as const),
        capture,
        expected: fc.record({ min: finite, max: finite }),
        rule,
        reading,
        outcome: fc.oneof(fc.constant('pass' as const), outcome),
        why: text,
      }),
    ),
  },
  {
    weight: 4,
    arbitrary: entryOf(
      'capture',
      fc.record({
        ...attempted,
        quantity: fc.constantFrom('resistance', 'voltage' as const),
        limits,
        rule,
        level,
        power: fc.constantFrom('on', 'off' as const),
        by: fc.constantFrom('settled', 'button' as const),
        capture,
        reading,
        outcome: fc.oneof(fc.constant('pass' as const), outcome),
        pInside: fc.option(share),
        why: text,
      }),
    ),
  },
  entryOf(
    'presses',
    fc.record({
      ...attempted,
      limits,
      rule,
      count: fc.integer({ min: 1, max: 5 }),
      maxBad: fc.integer({ min: 0, max: 2 }),
      maxBounceUs: fc.option(positive),
      ...source,
      presses: fc.array(
        fc.record({
          window: fc.option(window),
          heldUs: finite,
          bounceUs: finite,
          makes: count,
          missed: fc.boolean(),
          reading,
          outcome,
        }),
        { maxLength: 3 },
      ),
      outcome,
      why: text,
    }),
  ),
  entryOf(
    'observation',
    fc.record({
      ...attempted,
      question: text,
      passAnswer: fc.constantFrom('yes', 'no' as const),
      answer: fc.constantFrom('yes', 'no', 'unsure' as const),
      by,
      outcome,
    }),
  ),
  entryOf(
    'bridge',
    fc.record({
      ...attempted,
      power: fc.constant('on' as const),
      idle: fc.option(fc.record({ window, contact: fc.constant(contact), reading: someReading })),
      limits,
      rule,
      durationMs: positive,
      collapse: fc.constantFrom(0.1, 0.3),
      closed: fc.option(
        fc.record({
          windows: fc.array(window, { maxLength: 2 }),
          closedUs: finite,
          openedUs: finite,
          openedBy: fc.constantFrom('timeUp', 'request', 'heartbeat', 'overVoltage', 'unseen' as const),
          reading,
        }),
      ),
      proven: fc.boolean(),
      input: name,
      question: text,
      answer: fc.constantFrom('yes', 'no', 'unsure', null),
      by: fc.constantFrom('person', 'light', null),
      respondedBefore: fc.boolean(),
      light: fc.array(fc.record({ tUs: finite, code: count }), { maxLength: 2 }),
      withinMs: positive,
      delayUs: fc.option(finite),
      ...source,
      outcome,
      why: text,
    }),
  ),
  entryOf(
    'levels',
    fc.record({
      ...attempted,
      limits,
      rule,
      factor: fc.constantFrom(1.5, 2),
      power: fc.constantFrom('on', 'off' as const),
      by: fc.constantFrom('settled', 'button' as const),
      dry: fc.option(touch),
      normal: fc.option(touch),
      outcome,
      why: text,
    }),
  ),
  entryOf(
    'steady',
    fc.record({
      ...attempted,
      limits,
      rule,
      level,
      power: fc.constantFrom('on', 'off' as const),
      capture,
      reading,
      holdMs: positive,
      maxDropOuts: count,
      maxWander: positive,
      hold: fc.option(
        fc.record({
          fromUs: finite,
          heldUs: positive,
          buckets: fc.array(
            fc.record({
              tUs: finite,
              range: fc.integer({ min: 0, max: 5 }),
              n: fc.integer({ min: 1, max: 99 }),
              min: fc.integer({ min: 0, max: 16_368 }),
              max: fc.integer({ min: 0, max: 16_368 }),
              mean: fc.double({ min: 0, max: 16_368, noNaN: true }),
            }),
            { maxLength: 3 },
          ),
          dropOuts: fc.record({ count, longestUs: finite, totalUs: finite, subReading: count }),
        }),
      ),
      span: fc.option(fc.record({ minOhm: finite, medianOhm: finite, maxOhm: finite, wander: positive })),
      outcome,
      why: text,
    }),
  ),
  entryOf('skipped', fc.record({ check, reason: text, by })),
  entryOf('repeat', fc.record({ check, by })),
  entryOf(
    'live',
    fc.record({
      tUs: finite,
      volt: fc.option(finite),
      check: fc.option(check),
      where: fc.constantFrom('before', 'during' as const),
    }),
  ),
  entryOf(
    'gap',
    fc.record({ cause: name, missing: fc.option(count), fromUs: fc.option(finite), toUs: fc.option(finite), text }),
  ),
  entryOf(
    'link',
    fc.record({
      counters: fc.dictionary(name, fc.oneof(count, fc.dictionary(name, count, { maxKeys: 2 })), { maxKeys: 3 }),
    }),
  ),
  entryOf(
    'photo',
    fc.record({
      check,
      picture: fc.record({
        sha256: sha,
        bytes: fc.integer({ min: 1, max: 1e7 }),
        type: fc.constantFrom('image/jpeg', 'image/png' as const),
        width: positive,
        height: positive,
      }),
      shows: text,
      by,
    }),
  ),
  entryOf('note', fc.record({ text })),
  entryOf(
    'concluded',
    fc.record({
      conclusion: fc.constantFrom('fault', 'group', 'none', 'open' as const),
      decisions: fc.array(fc.record({ id: name, name: text, p: share }), { maxLength: 2 }),
      reasons: fc.array(text, { maxLength: 2 }),
      doubt: fc.option(text),
      plan: fc.record({
        steps: fc.array(fc.record({ repair: name, name: text, p: share, price: finite, minutes: finite }), {
          maxLength: 2,
        }),
        expectedPrice: finite,
        expectedMinutes: finite,
        left: share,
        usual: fc.option(fc.record({ repair: name, name: text, expectedPrice: finite, expectedMinutes: finite })),
        currency: fc.option(name),
      }),
      isWhole: fc.boolean(),
      notTested: fc.array(name, { maxLength: 2 }),
      beyond: fc.option(text),
      evidence: fc.array(fc.integer({ min: 1, max: 99 }), { maxLength: 3 }),
    }),
  ),
  entryOf(
    'repair',
    fc.record({
      what: fc.constantFrom('repair', 'swap' as const),
      repair: fc.option(name),
      unit: fc.option(name),
      text,
      by,
    }),
  ),
  entryOf('resumed', fc.record({ tool: name })),
  entryOf('power', fc.record({ to: fc.constantFrom('on', 'off' as const) })),
  entryOf('recovered', fc.record({ file: fc.option(name), bytes: count, sha256: fc.option(sha), why: text })),
  entryOf(
    'closed',
    fc.record({
      result: fc.constantFrom('passed', 'failed', 'inconclusive' as const),
      proofs: fc.constantFrom('held', 'failed', 'missing' as const),
      counts,
      why: text,
    }),
  ),
  entryOf(
    'signed',
    fc.record({
      publicKey: fc.uint8Array({ minLength: 32, maxLength: 32 }).map((raw) => Buffer.from(raw).toString('base64')),
      signature: fc.uint8Array({ minLength: 64, maxLength: 64 }).map((raw) => Buffer.from(raw).toString('base64')),
    }),
  ),
  entryOf('customer', fc.record({ commitments: fc.record({ name: sha, contact: sha }, { requiredKeys: [] }) })),
);
