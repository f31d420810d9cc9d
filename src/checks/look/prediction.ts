import type { CheckKind } from '../../guide/check-kind.ts';
import type { LookCheck } from '../../guide/types.ts';

/** What the circuit says that a look check will show. */
export const predictLook: CheckKind<LookCheck>['predict'] = (_guide, check, _solve, faults) => {
  const seen = check.sees.some(({ link, mode }) => faults.some((fault) => fault.link === link && fault.mode === mode));
  const other = check.passAnswer === 'yes' ? 'no' : 'yes';
  return {
    check: check.id,
    kind: check.kind,
    predicted: { answer: seen ? other : check.passAnswer },
    insideLimits: !seen,
    unsteady: false,
    spread: 0,
  };
};
