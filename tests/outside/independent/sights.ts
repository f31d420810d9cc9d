import type { Check, Guide, Limits } from '../../../src/guide/types.ts';
import type { Sight } from './device.ts';

/** The numbers that a check sees, by name; none of what only eyes see. */
export function sightsOf(guide: Guide, check: Check): Record<string, Sight> {
  const base = { check: check.id, level: 'normal', access: check.access, closure: null, isLoaded: false } as const;
  switch (check.kind) {
    case 'resistance':
    case 'steady':
      return {
        read: {
          ...base,
          quantity: 'ohm',
          power: 'off',
          level: check.level,
          pressed: check.pressed,
          between: check.pads,
        },
      };
    case 'dry-normal': {
      const at = { ...base, quantity: 'ohm', power: 'off', pressed: check.pressed, between: check.pads } as const;
      return { read: at, dry: { ...at, level: 'dry' } };
    }
    case 'presses': {
      const at = { ...base, quantity: 'ohm', power: 'off', level: check.level, between: check.pads } as const;
      return { read: { ...at, pressed: [check.key] }, released: { ...at, pressed: [] } };
    }
    case 'voltage':
      return {
        read: {
          ...base,
          quantity: 'volt',
          power: check.power,
          pressed: check.pressed,
          between: check.pads,
          isLoaded: true,
        },
      };
    case 'bridge': {
      const at = { ...base, quantity: 'volt', power: 'on', pressed: check.pressed } as const;
      const { node } = guide.inputs.find(({ id }) => id === check.input)!;
      return {
        read: { ...at, between: check.pads, isLoaded: true },
        before: { ...at, between: [node, null] },
        during: { ...at, between: [node, null], closure: check.pads },
      };
    }
    case 'look':
      return {};
  }
}

/** What a check's reading is held against. */
export function limitsOf(check: Check): Limits | null {
  return check.kind === 'look' ? null : check.kind === 'bridge' ? check.idle : check.limits;
}
