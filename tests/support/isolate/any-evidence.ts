import * as fc from 'fast-check';
import type { Evidence, Measured } from '../../../src/checks/evidence.ts';
import type { Check, Guide } from '../../../src/guide/types.ts';
import { anyOhm, evenly } from './any-guide.ts';

const above: Measured = { value: 1e7, u: 0, state: 'above-range' };

const anyRead: fc.Arbitrary<Measured> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc
      .tuple(anyOhm(-2.5, 7), anyOhm(-4, -1))
      .map(([value, u]): Measured => ({ value, u: 0.002 + u * value, state: 'in-range' })),
  },
  { weight: 1, arbitrary: fc.constant(above) },
);
const anyVolt: fc.Arbitrary<Measured> = evenly(-0.1, 5).map(
  (value): Measured => ({ value, u: 0.005, state: 'in-range' }),
);
const answer = fc.constantFrom<'yes' | 'no' | 'unsure'>('yes', 'no', 'yes', 'no', 'unsure');
const isUnsteady = fc.nat({ max: 4 }).map((k) => k === 0);
const orNothing = <T>(one: fc.Arbitrary<T>): fc.Arbitrary<T | null> => fc.option(one, { freq: 6 });

/** Something that a check may have shown. */
function anyEvidence(check: Check): fc.Arbitrary<Evidence> {
  const id = fc.constant(check.id);
  switch (check.kind) {
    case 'resistance':
    case 'steady':
      return fc.record({
        check: id,
        kind: fc.constant(check.kind),
        quantity: fc.constant('resistance' as const),
        reading: orNothing(anyRead),
        unsteady: isUnsteady,
      });
    case 'voltage':
      return fc.record({
        check: id,
        kind: fc.constant('voltage' as const),
        quantity: fc.constant('voltage' as const),
        reading: orNothing(anyVolt),
        unsteady: isUnsteady,
      });
    case 'dry-normal':
      return fc.record({ check: id, kind: fc.constant('dry-normal' as const), dry: anyRead, normal: anyRead });
    case 'presses':
      return fc.record({
        check: id,
        kind: fc.constant('presses' as const),
        closed: orNothing(anyRead),
        bad: fc.integer({ min: 0, max: check.count }),
        count: fc.constant(check.count),
      });
    case 'look':
      return fc.record({ check: id, kind: fc.constant('look' as const), answer });
    case 'bridge':
      return fc.record({
        check: id,
        kind: fc.constant('bridge' as const),
        proven: fc.boolean(),
        idle: orNothing(anyVolt),
        answer,
      });
  }
}

/** What some or all of a guide's checks have shown, each once. */
export function evidenceOf(guide: Guide): fc.Arbitrary<Evidence[]> {
  return fc
    .subarray(guide.checks, { minLength: 1 })
    .chain((checks) => fc.tuple(...checks.map((check) => anyEvidence(check))) as unknown as fc.Arbitrary<Evidence[]>);
}
