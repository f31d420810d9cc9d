import type { Fault, Guide } from '../src/guide/types.ts';
import { TestBench } from './bench.ts';
import { Device } from './device/device.ts';
import type { DisplayOptions } from './device/display.ts';
import { Hands } from './hands/hands.ts';
import type { ScriptNames } from './hands/script.ts';
import { EmulatedProbe } from './probe/emulated-probe.ts';
import { SimTransport } from './wire/transport.ts';

/** Options of {@link simulate}. */
export interface SimulationOptions {
  /** The device at the tips; unless told by `judgedBy`, by the guide that it is judged by. */
  readonly guide: Guide;
  /** The guide that the prompts are of, when it is another: its checks tell the hands how to reach a pad. */
  readonly judgedBy?: Guide;
  /** What is wrong with the device; nothing if not given. */
  readonly faults?: readonly Fault[];
  /**
   * Decides everything that is drawn: parts, noise, unit-to-unit values, motions, faults over time.
   */
  readonly seed: number;
  /** Firmware image; the committed one if not given. */
  readonly image?: string | URL;
  /** The device's display, and whether a light sensor lies on it; default true. */
  readonly display?: DisplayOptions;
  readonly lightSensor?: boolean;
  /** Device switched on at first; default off. */
  readonly power?: 'off' | 'on';
  /** Probe time follows the wall clock; default false. */
  readonly realTime?: boolean;
  /** As in HandsOptions. */
  readonly slipRate?: number;
  readonly answerErrorRate?: number;
  readonly pace?: number;
}

/** A bench with all that stands on it. */
export interface Simulation {
  readonly device: Device;
  readonly bench: TestBench;
  readonly probe: EmulatedProbe;
  readonly hands: Hands;
  readonly transport: SimTransport;
  /** What scripts may name. */
  readonly names: ScriptNames;
}

/** Serial numbers of simulated probes are in this range, by seed. */
const serialBase = 900_000;
const serialSpan = 100_000;

/**
 * Returns a simulated bench for a guide: device, probe, hands, and the transport that a host opens
 * as port `sim:`.
 */
export function simulate(options: SimulationOptions): Simulation {
  const { guide, seed } = options;
  const { display, lightSensor } = options;
  const device = new Device({
    guide,
    faults: options.faults ?? [],
    seed,
    power: options.power ?? 'off',
    ...(display === undefined ? {} : { display }),
  });
  const bench = new TestBench(device, lightSensor === undefined ? {} : { lightSensor });
  const serial = serialBase + (((seed % serialSpan) + serialSpan) % serialSpan);
  const probe = new EmulatedProbe({
    seed,
    world: bench,
    serial,
    ...(options.image === undefined ? {} : { image: options.image }),
  });
  const { slipRate, answerErrorRate, pace } = options;
  const hands = new Hands({
    bench,
    checks: (options.judgedBy ?? guide).checks,
    seed,
    button: (down) => probe.button(down),
    ...(slipRate === undefined ? {} : { slipRate }),
    ...(answerErrorRate === undefined ? {} : { answerErrorRate }),
    ...(pace === undefined ? {} : { pace }),
  });
  const transport = new SimTransport({ probe, realTime: options.realTime ?? false });
  const ids = (list: readonly { id: string }[]): string[] => list.map(({ id }) => id);
  const names: ScriptNames = {
    pads: ids(guide.pads),
    keys: ids(guide.keys),
    repairs: ids(guide.repairs),
    units: ids(guide.units),
  };
  return { device, bench, probe, hands, transport, names };
}
