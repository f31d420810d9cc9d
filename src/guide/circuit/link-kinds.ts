import type { FaultMode, Link } from '../types.ts';

/**
 * What a healthy link of a kind usually is: ohm, its unit-to-unit spread (relative, one standard
 * deviation), and what hardly any healthy one is above; null: its kind does not say. Common
 * practice, no source.
 */
interface UsualLink {
  ohm: number;
  spread: number;
  max: number | null;
}

/**
 * The kinds of link, each with the ways in which it can fail and their weights: how probable each
 * is against every other way of every other link (common practice, no source).
 *
 * `usual` is what a short guide takes for a link that gives no value. It belongs to version 1 of
 * the guide format: another value would change what records with short guides come to.
 *
 * Films and weak springs are faults of separable contacts only; being stuck is a fault of a switch
 * only, and being welded of one that is closed while nobody presses. What leaks across a link
 * lowers it.
 */
export const linkKinds = {
  spring: {
    usual: { ohm: 0.06, spread: 0.35, max: 0.5 },
    text: 'spring contact',
    modes: ['open', 'high', 'short', 'film', 'weak', 'intermittent'],
    weights: { open: 2, high: 3, short: 1, film: 10, weak: 8, intermittent: 4 },
  },
  landing: {
    usual: { ohm: 0.1, spread: 0.35, max: 1 },
    text: 'landing pad',
    modes: ['open', 'high', 'short', 'film', 'intermittent'],
    weights: { open: 2, high: 3, short: 1, film: 10, intermittent: 2 },
  },
  trace: {
    usual: { ohm: 0.12, spread: 0.12, max: 3 },
    text: 'trace',
    modes: ['open', 'high', 'short', 'intermittent'],
    weights: { open: 2, high: 1, short: 0.5, intermittent: 0.5 },
  },
  flex: {
    usual: { ohm: 0.4, spread: 0.1, max: 30 },
    text: 'flex circuit',
    modes: ['open', 'high', 'short', 'intermittent'],
    weights: { open: 4, high: 1, short: 0.5, intermittent: 3 },
  },
  joint: {
    usual: { ohm: 0.02, spread: 0.2, max: 0.2 },
    text: 'solder joint',
    modes: ['open', 'high', 'short', 'intermittent'],
    weights: { open: 3, high: 1, short: 0.5, intermittent: 2 },
  },
  connector: {
    usual: { ohm: 0.03, spread: 0.25, max: 0.3 },
    text: 'board connector',
    modes: ['open', 'high', 'short', 'film', 'weak', 'intermittent'],
    weights: { open: 2, high: 2, short: 0.5, film: 4, weak: 2, intermittent: 4 },
  },
  switch: {
    usual: { ohm: 0.5, spread: 0.3, max: 500 },
    text: 'switch',
    modes: ['open', 'high', 'short', 'film', 'weak', 'intermittent', 'stuck', 'leaky', 'welded'],
    weights: { open: 4, high: 3, short: 0.5, film: 5, weak: 2, intermittent: 4, stuck: 3, leaky: 0.5, welded: 1 },
  },
  resistor: {
    usual: { ohm: 20e3, spread: 0.05, max: null },
    text: 'resistor',
    modes: ['open', 'high', 'short', 'leaky'],
    weights: { open: 1, high: 0.5, short: 0.2, leaky: 0.2 },
  },
  'chip-pin': {
    usual: { ohm: 0.3, spread: 0.2, max: null },
    text: 'chip pin',
    modes: ['open', 'high', 'short'],
    weights: { open: 1, high: 0.5, short: 0.5 },
  },
} as const satisfies Record<
  string,
  { usual: UsualLink; text: string; modes: readonly FaultMode[]; weights: Partial<Record<FaultMode, number>> }
>;

export type LinkKind = keyof typeof linkKinds;
export const linkKindNames = Object.keys(linkKinds) as [LinkKind, ...LinkKind[]];
export const faultModes = [
  'open',
  'high',
  'short',
  'film',
  'weak',
  'intermittent',
  'stuck',
  'leaky',
  'welded',
] as const;

/** Returns whether a link of this kind can fail in this way. */
export function canFail(kind: LinkKind, mode: FaultMode): boolean {
  return (linkKinds[kind].modes as readonly FaultMode[]).includes(mode);
}

/**
 * Returns how probable a way to fail is against those of other links: the link's own weight, else
 * its kind's; 0 for a short to nowhere.
 */
export function faultWeight(link: Link, mode: FaultMode): number {
  if (mode === 'welded' && link.normally !== 'closed') return 0;
  if (!canFail(link.kind, mode) || (mode === 'short' && link.near.length === 0)) return 0;
  const weights: Partial<Record<FaultMode, number>> = linkKinds[link.kind].weights;
  return link.weights[mode] ?? weights[mode] ?? 0;
}

/** Kinds of link that part and close, and so wear together. */
export const contactKinds: readonly LinkKind[] = ['spring', 'landing', 'connector', 'switch'];

/** Returns whether links of this kind wear together. */
export function isContact(kind: LinkKind): boolean {
  return contactKinds.includes(kind);
}
