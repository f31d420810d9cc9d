import type { FaultMode } from './types.ts';

/**
 * The kinds of link, each with the ways in which it can fail (common practice, no source).
 *
 * Films and weak springs are faults of separable contacts only; being stuck is a fault of a switch only.
 */
export const linkKinds = {
  spring: { text: 'spring contact', modes: ['open', 'high', 'short', 'film', 'weak', 'intermittent'] },
  landing: { text: 'landing pad', modes: ['open', 'high', 'short', 'film', 'intermittent'] },
  trace: { text: 'trace', modes: ['open', 'high', 'short', 'intermittent'] },
  flex: { text: 'flex circuit', modes: ['open', 'high', 'short', 'intermittent'] },
  joint: { text: 'solder joint', modes: ['open', 'high', 'short', 'intermittent'] },
  connector: { text: 'board connector', modes: ['open', 'high', 'short', 'film', 'weak', 'intermittent'] },
  switch: { text: 'switch', modes: ['open', 'high', 'short', 'film', 'weak', 'intermittent', 'stuck'] },
  resistor: { text: 'resistor', modes: ['open', 'high', 'short'] },
  'chip-pin': { text: 'chip pin', modes: ['open', 'high', 'short'] },
} as const satisfies Record<string, { text: string; modes: readonly FaultMode[] }>;

export type LinkKind = keyof typeof linkKinds;
export const linkKindNames = Object.keys(linkKinds) as [LinkKind, ...LinkKind[]];
export const faultModes = ['open', 'high', 'short', 'film', 'weak', 'intermittent', 'stuck'] as const;

/** Returns whether a link of this kind can fail in this way. */
export function canFail(kind: LinkKind, mode: FaultMode): boolean {
  return (linkKinds[kind].modes as readonly FaultMode[]).includes(mode);
}
