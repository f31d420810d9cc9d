import { meterOhm } from '../../checks/circuit-reading.ts';
import type { Check, Guide, Level } from '../../guide/types.ts';
import type { IsolationRules } from '../rules.ts';
import type { Finding } from './circuit-variant.ts';

/**
 * One number that a check sees: ohms or volts between two points, as the check finds the device.
 */
export interface Channel {
  name: 'ohm' | 'released' | 'dry' | 'volt' | 'idle' | 'before' | 'during';
  quantity: 'ohm' | 'volt';
  finding: Finding;
  level: Level;
  /** Pads or nodes; the second may be null for the ground. */
  between: [string, string | null];
  /** Volts only: what the probe has between its tips; absent: nothing. */
  meterOhm?: number;
}

/** Returns the numbers that a check sees; none for what only eyes see. */
export function channelsOf(guide: Guide, check: Check, { circuit }: IsolationRules): Channel[] {
  const { access } = check;
  switch (check.kind) {
    case 'resistance':
    case 'steady': {
      const finding: Finding = { power: 'off', pressed: check.pressed, access };
      return [{ name: 'ohm', quantity: 'ohm', finding, level: check.level, between: check.pads }];
    }
    case 'presses': {
      const { level, pads } = check;
      const finding = (pressed: string[]): Finding => ({ power: 'off', pressed, access });
      return [
        { name: 'ohm', quantity: 'ohm', finding: finding([check.key]), level, between: pads },
        { name: 'released', quantity: 'ohm', finding: finding([]), level, between: pads },
      ];
    }
    case 'dry-normal': {
      const finding: Finding = { power: 'off', pressed: check.pressed, access };
      return [
        { name: 'ohm', quantity: 'ohm', finding, level: 'normal', between: check.pads },
        { name: 'dry', quantity: 'ohm', finding, level: 'dry', between: check.pads },
      ];
    }
    case 'voltage': {
      const finding: Finding = { power: check.power, pressed: check.pressed, access };
      return [{ name: 'volt', quantity: 'volt', finding, level: 'normal', between: check.pads, meterOhm }];
    }
    case 'bridge': {
      const finding: Finding = { power: 'on', pressed: check.pressed, access };
      const node = guide.inputs.find((input) => input.id === check.input)!.node;
      const at = { quantity: 'volt', level: 'normal' } as const;
      const closed: Finding = { ...finding, closure: { pads: check.pads, ohm: circuit.closureOhm } };
      return [
        { ...at, name: 'idle', finding, between: check.pads, meterOhm },
        { ...at, name: 'before', finding, between: [node, null] },
        { ...at, name: 'during', finding: closed, between: [node, null] },
      ];
    }
    case 'look':
      return [];
  }
}
