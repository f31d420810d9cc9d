import type { Evidence, Measured } from '../../../src/checks/evidence.ts';
import { predictChecks } from '../../../src/checks/guides.ts';
import type { Fault, Guide } from '../../../src/guide/types.ts';

const measured = (value: number): Measured => ({ value, u: 0.005 * Math.abs(value) + 0.003, state: 'in-range' });
const ohms = (value: number): Measured =>
  value > 1e7 ? { value: 1e7, u: 0, state: 'above-range' } : measured(Math.max(0, value));

/** Returns what the checks of a guide show on a device, in the guide's order, read by a fair probe without noise; and whether they pass. */
export function shownBy(device: Guide, faults: readonly Fault[] = []): { evidence: Evidence; isPass: boolean }[] {
  const predictions = predictChecks(device, { faults: [...faults] });
  return device.checks.flatMap((check, k) => {
    const { predicted, insideLimits, unsteady } = predictions[k]!;
    const isPass = insideLimits !== false && !unsteady;
    const of = (evidence: Evidence) => [{ evidence, isPass }];
    const ohm = ohms(predicted.ohm ?? 0);
    switch (check.kind) {
      case 'look':
        return of({ check: check.id, kind: 'look', answer: predicted.answer ?? check.passAnswer });
      case 'voltage':
        return of({
          check: check.id,
          kind: 'voltage',
          quantity: 'voltage',
          reading: measured(predicted.volt!),
          unsteady: unsteady === true,
        });
      case 'bridge': {
        const proven = predicted.proven === true;
        const answer = !proven ? 'unsure' : predicted.responds === true ? 'yes' : 'no';
        return of({ check: check.id, kind: 'bridge', proven, idle: measured(predicted.idleVolt!), answer });
      }
      case 'dry-normal':
        return of({
          check: check.id,
          kind: 'dry-normal',
          dry: ohms(predicted.dryOhm ?? predicted.ohm ?? 0),
          normal: ohm,
        });
      case 'presses': {
        const isClosing = ohm.state === 'in-range' && (predicted.releasedOhm ?? 1e9) > 10 * ohm.value;
        const bad = isPass ? 0 : unsteady && insideLimits !== false ? Math.round(0.4 * check.count) : check.count;
        return of({ check: check.id, kind: 'presses', closed: isClosing ? ohm : null, bad, count: check.count });
      }
      default:
        return of({
          check: check.id,
          kind: check.kind,
          quantity: 'resistance',
          reading: ohm,
          unsteady: unsteady === true,
        });
    }
  });
}
