import { tipsInAir } from '../../sim/hands/tips.ts';
import { EmulatedProbe, SimTransport } from '../../sim/index.ts';
import type { LinkRig } from './link-contract.ts';

/** Returns an emulated probe in this process whose tips are in the air. */
export function idleProbe(): EmulatedProbe {
  const world = { connect: () => undefined, excited: () => undefined, look: () => tipsInAir };
  return new EmulatedProbe({ seed: 11, world, serial: 4242 });
}

/** Returns a rig with an emulated probe in virtual time. */
export function emulatedRig(): LinkRig {
  const probe = idleProbe();
  let transport: SimTransport | null = null;
  return {
    source: () => {
      transport = new SimTransport({ probe });
      return transport;
    },
    unplug: () => transport?.unplug(),
    plugIn: () => undefined, // opening the port again plugs it in
    dip: () => probe.brownOut(),
    close: async () => transport?.close(),
  };
}
