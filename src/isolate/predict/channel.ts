import type { Level } from '../../guide/types.ts';
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
