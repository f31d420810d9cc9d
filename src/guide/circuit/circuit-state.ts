import type { Fault, Guide, Level, Link, Power } from '../types.ts';
import { faultLinkOhm, openOhm } from './faults.ts';

/** What a device is like at a moment. */
export interface CircuitState {
  power: Power;
  /** Keys held down; keys that go down with them are added. */
  pressed: string[];
  faults: Fault[];
  level: Level;
  /** State of disassembly: the links that it takes apart are open. Absent: the closed device. */
  access?: string | undefined;
  /**
   * Replaces the nominal resistance of links (drawn values, bounce, a fault that varies); `faults`
   * still come on top.
   */
  linkOhm?: Readonly<Record<string, number>>;
  /** Replaces the voltage of rails. */
  railVolt?: Readonly<Record<string, number>>;
  /** The probe's closure between two pads. */
  bridge?: { padA: string; padB: string; ohm: number };
}

/** A device with nothing pressed, off, and healthy. */
export const restingState: CircuitState = { power: 'off', pressed: [], faults: [], level: 'normal' };

/** Returns the node that a pad id or a node name stands for, or null. */
export function nodeOf(guide: Guide, padOrNode: string): string | null {
  const pad = guide.pads.find((one) => one.id === padOrNode);
  if (pad !== undefined) return pad.node;
  return guide.nodes.includes(padOrNode) ? padOrNode : null;
}

/** Returns the keys that are down when these are pressed: with them go the keys they include. */
export function keysDown(guide: Guide, pressed: readonly string[]): Set<string> {
  const down = new Set<string>();
  const visit = (id: string): void => {
    if (down.has(id)) return;
    down.add(id);
    for (const other of guide.keys.find((key) => key.id === id)?.with ?? []) visit(other);
  };
  for (const id of pressed) visit(id);
  return down;
}

/** Returns the resistance of one link as a state finds it with these faults, in ohm. */
export type LinkOhmNow = (link: Link, faults: readonly Fault[], level: Level) => number;

/** Returns how a state finds each link; `openOhm` for what does not conduct. */
export function linkOhmIn(guide: Guide, state: Pick<CircuitState, 'pressed' | 'access' | 'linkOhm'>): LinkOhmNow {
  const down = keysDown(guide, state.pressed);
  const worked = new Set(guide.keys.filter((key) => down.has(key.id)).map((key) => key.link));
  const apart = new Set(guide.access.find((one) => one.id === state.access)?.parts ?? []);
  return (link, faults, level) => {
    if (apart.has(link.id)) return openOhm;
    const own = faults.filter((fault) => fault.link === link.id);
    const base = isClosed(link, own, worked.has(link.id))
      ? Math.min(openOhm, state.linkOhm?.[link.id] ?? link.ohm)
      : openOhm;
    return own.reduce((ohm, fault) => faultLinkOhm(link, fault, level, ohm), base);
  };
}

/**
 * Whether current can pass but for a fault of the contact itself; every link but a switch is always
 * closed.
 */
function isClosed(link: Link, own: readonly Fault[], isWorked: boolean): boolean {
  if (link.kind !== 'switch' || own.some(({ mode }) => mode === 'welded')) return true;
  return (isWorked || own.some(({ mode }) => mode === 'stuck')) !== (link.normally === 'closed');
}
