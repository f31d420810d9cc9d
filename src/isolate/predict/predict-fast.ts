import { openOhm } from '../../guide/circuit/faults.ts';
import type { Fault } from '../../guide/types.ts';
import type { Channel } from './channel.ts';
import type { CircuitVariant } from './circuit-variant.ts';
import { faultedPort, type LinkChange } from './faulted-ports.ts';
import type { Circuits } from './model-circuits.ts';

/** Returns the two node numbers that a channel looks at. */
export function channelNodes(variant: CircuitVariant, { between: [a, b] }: Channel): [number, number] {
  return [variant.node(a), b === null ? variant.ground : variant.node(b)];
}

/**
 * Returns the ohms or volts that a channel sees with faults in place, by updates of the healthy
 * circuit; `openOhm` between points that nothing joins.
 *
 * @param faults each with the number of its link
 */
export function predictChannel(
  circuits: Circuits,
  channel: Channel,
  faults: readonly { fault: Fault; link: number }[],
): number {
  const variant = circuits(channel.finding);
  const changes = faults.flatMap(({ fault, link }): LinkChange[] => {
    const change = variant.changeOf(fault, link, channel.level);
    return change === null ? [] : [{ change, link }];
  });
  const [a, b] = channelNodes(variant, channel);
  if (a === b) return 0;
  if (channel.quantity === 'volt' && channel.meterOhm === undefined) return faultedPort(variant, [a, b], changes).volt;
  const made = changes.map(({ change }) => change);
  const isJoined =
    made.length === 0 ? variant.cuts.island[a] === variant.cuts.island[b] : variant.areJoined(a, b, made);
  const { ohm, volt } = faultedPort(variant, [a, b], changes);
  const betweenOhm = isJoined ? Math.min(openOhm, ohm) : openOhm;
  return channel.quantity === 'ohm' ? betweenOhm : metered(channel, volt, betweenOhm);
}

/** Returns what a channel sees of a healthy device: the shortest way to it, and not kept. */
export function healthyReading(circuits: Circuits, channel: Channel): number {
  const variant = circuits(channel.finding);
  const [a, b] = channelNodes(variant, channel);
  const volt = variant.volt(a) - variant.volt(b);
  if (channel.quantity === 'volt' && channel.meterOhm === undefined) return volt;
  const isJoined = variant.cuts.island[a] === variant.cuts.island[b];
  const ohm = isJoined ? Math.min(openOhm, variant.ohmBetween(a, b)) : openOhm;
  return channel.quantity === 'ohm' ? ohm : metered(channel, volt, ohm);
}

/**
 * Returns what the probe reads of a voltage behind a resistance: its own resistance divides it, so
 * pads that nothing joins read next to nothing.
 */
export function metered({ meterOhm }: Channel, openVolt: number, sourceOhm: number): number {
  return meterOhm === undefined ? openVolt : (openVolt * meterOhm) / (meterOhm + sourceOhm);
}
