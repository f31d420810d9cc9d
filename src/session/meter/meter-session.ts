import { LinkError } from '../../link/link-error.ts';
import { Engine } from '../engine/engine.ts';
import type { ReadingWatcher, SessionProbe } from '../engine/session-parts.ts';
import {
  freshMeter,
  type MeterEffect,
  type MeterEvent,
  type MeterReads,
  type MeterState,
  stepMeterSession,
} from './meter-reducer.ts';

/** A session that only shows what is at the tips. It ends when it is left. */
export type MeterSession = Engine<MeterState, MeterEvent, MeterEffect>;

/** What a meter measures. */
export interface MeterSettings extends MeterReads {
  /** The probe is looked for again when the link breaks. */
  reconnect: boolean;
}

/** Every batch is an event: nothing is concluded from readings. */
const watcher: ReadingWatcher<MeterEvent> = {
  forget: () => undefined,
  stop: () => undefined,
  readings: (batch) => [{ type: 'batch', batch }],
  probeEvent: () => [],
  gap: () => [],
};

/**
 * Returns a meter session, not yet running. Without `reconnect` a link that breaks, and a probe
 * that refuses the mode, end it with an error: `link.lost`, `link.refused`.
 */
export function openMeterSession({ quantity, level, reconnect }: MeterSettings, probe: SessionProbe): MeterSession {
  return new Engine({
    state: freshMeter(quantity, level, reconnect),
    step: stepMeterSession,
    watcher,
    probe,
    found: (found) => ({ type: 'connected', ...found }),
    lost: (why) => ({ type: 'disconnected', why }),
    leave: { type: 'quit' },
    async carryOut(effect, engine) {
      if (effect.do === 'give-up') throw lost(effect.why);
      const mode = { type: 'mode', mode: effect.quantity, level: effect.level, range: 'auto', input: 'tips' } as const;
      const refusal = await engine.setMode(mode, () => undefined);
      if (refusal !== null && !reconnect) throw refusal;
    },
  });
}

function lost(why: string): LinkError {
  return new LinkError('link.lost', `The link to the probe is lost: ${why}.`, {
    help: 'Check the cable and start again.',
  });
}
