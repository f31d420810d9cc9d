import type { Guide } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { OtherValues } from '../suspects/unknown-causes.ts';
import { CircuitVariant, type Finding } from './circuit-variant.ts';

/**
 * Returns the circuit variant of a way of measuring; checks that find the device alike share one.
 */
export type Circuits = (finding: Finding) => CircuitVariant;

/** Returns the circuit variants of a guide, each factored when it is first asked for. */
export function openCircuits(guide: Guide, rules: IsolationRules): Circuits {
  const variants = new Map<string, CircuitVariant>();
  const seen = new WeakMap<Finding, CircuitVariant>();
  // other values are hundreds of numbers, and few: told apart by which object they are
  const others = new Map<OtherValues, number>();
  const numberOf = (other: OtherValues): number => {
    if (!others.has(other)) others.set(other, others.size);
    return others.get(other)!;
  };
  return (finding) => {
    const known = seen.get(finding);
    if (known !== undefined) return known;
    const { power, pressed, access, closure, other } = finding;
    const key = JSON.stringify([
      power,
      [...pressed].sort(),
      access ?? null,
      closure ?? null,
      other === undefined ? null : numberOf(other),
    ]);
    let variant = variants.get(key);
    if (variant === undefined) {
      variant = new CircuitVariant(guide, finding, rules);
      variants.set(key, variant);
    }
    seen.set(finding, variant);
    return variant;
  };
}
