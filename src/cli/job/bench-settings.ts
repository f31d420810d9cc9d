import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { type JobSettings, usualPace } from '../../session/job/job-session-state.ts';
import { type SessionOptions, usualRepair } from '../program/program-options.ts';

/**
 * Hands wait this long in probe time for a touch before it counts as no contact; a person is waited
 * for without end.
 */
const handsNoContactUs = 20_000_000;

/** Returns all settings of a session at the bench from its options. */
export function resolveSettings({
  port,
  order,
  repair,
  accepted,
}: Pick<SessionOptions, 'port' | 'order' | 'repair'> & { accepted?: readonly string[] }): JobSettings {
  const isEmulated = port === simulatedPort;
  return {
    ...usualPace,
    noContactAfterUs: isEmulated ? handsNoContactUs : null,
    order,
    repair: repair ?? (isEmulated ? usualRepair.emulated : usualRepair.bench),
    acceptedCautions: [...(accepted ?? [])],
  };
}
