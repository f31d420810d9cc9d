import { isContact, linkKinds } from '../guide/circuit/link-kinds.ts';
import type { Guide } from '../guide/types.ts';

interface RepairFields {
  id: string;
  name: string;
  fixes: string[];
  price: number;
  minutes: number;
  success: string;
}

/** Minutes and chances of repairs where nobody says better; common practice, no source. */
const usual = { clean: [6, '85 %'], 'bend-up': [5, '70 %'], reseat: [5, '60 %'], replace: [20, '95 %'] } as const;

/**
 * Returns the repairs of a guide that names none: contacts are cleaned, springs bent up, connectors
 * reseated, units changed. Prices of units are those of the guide.
 */
export function usualRepairs(guide: Guide): RepairFields[] {
  const joints = guide.links.filter(({ between, kind }) => between !== undefined && isContact(kind));
  const having = (mode: 'film' | 'weak'): string[] =>
    joints
      .filter(({ kind }) => kind !== 'connector' && (linkKinds[kind].modes as readonly string[]).includes(mode))
      .map(({ id }) => `${id}=${mode}`);
  const plugs = joints.filter(({ kind }) => kind === 'connector').map(({ id }) => id);
  const units = guide.units.map(({ id, name, price, minutes }) => {
    const own = guide.links.filter(({ unit, between }) => unit === id || between?.includes(id) === true);
    const fixes = own.map((link) => link.id);
    const [usualMinutes, success] = usual.replace;
    return {
      id: `new-${id}`,
      name: `fit a new ${name}`,
      fixes,
      price: price ?? 0,
      minutes: minutes ?? usualMinutes,
      success,
    };
  });
  const cheap = (['clean', 'bend-up', 'reseat'] as const).map((id) => {
    const [minutes, success] = usual[id];
    const fixes = { clean: having('film'), 'bend-up': having('weak'), reseat: plugs }[id];
    return { id, name: names[id], fixes, price: 0, minutes, success };
  });
  return [...cheap, ...units].filter(({ fixes }) => fixes.length > 0);
}

const names = {
  clean: 'clean the faces of the contacts',
  'bend-up': 'bend the springs up a little and test again',
  reseat: 'unplug the connectors and plug them in again',
};
