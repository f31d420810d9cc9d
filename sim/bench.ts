import type { Device } from './device/device.ts';
import { constrictionOhm } from './device/holm.ts';
import { type TipCircuit, type TipWorld, tipsInAir, type WorldClock } from './hands/tips.ts';
import type { Controls } from './probe/controls.ts';

export type TipName = 'a' | 'b';

/** Where a tip is: in the air, on a pad, or on the other tip. */
export type TipPlace = { readonly on: 'air' } | { readonly on: 'pad'; readonly pad: string } | { readonly on: 'tips' };

interface Tip {
  place: TipPlace;
  forceNewton: number;
}

const air: TipPlace = { on: 'air' };

/**
 * The bench: a device under test and two tips over it. Whoever has hands moves the tips; the probe
 * looks.
 */
export class TestBench implements TipWorld {
  readonly device: Device;
  readonly #tips: Record<TipName, Tip> = {
    a: { place: air, forceNewton: 0 },
    b: { place: air, forceNewton: 0 },
  };
  readonly #hasLightSensor: boolean;
  #clockNow: WorldClock | null = null;

  /**
   * @param options lightSensor: one is plugged in and lies on the device's display; default true
   */
  constructor(device: Device, options: { readonly lightSensor?: boolean } = {}) {
    this.device = device;
    this.#hasLightSensor = options.lightSensor ?? true;
  }

  connect(clock: WorldClock): void {
    this.#clockNow = clock;
    this.device.connect(clock);
  }

  /** The probe's time; only once the bench is connected to a probe. */
  get clock(): WorldClock {
    if (this.#clockNow === null) throw new Error('the bench has no probe yet');
    return this.#clockNow;
  }

  /** Puts a tip somewhere with a force (0: it doesn't touch). */
  setTip(name: TipName, place: TipPlace, forceNewton: number): void {
    const tip = this.#tips[name];
    tip.place = forceNewton > 0 ? place : air;
    tip.forceNewton = tip.place.on === 'air' ? 0 : forceNewton;
    const { a, b } = this.#tips;
    this.device.watch(a.place.on === 'pad' && b.place.on === 'pad', Math.min(a.forceNewton, b.forceNewton));
    this.#clockNow?.changed();
  }

  /** Where a tip is now. */
  tipAt(name: TipName): TipPlace {
    return this.#tips[name].place;
  }

  light(tUs: number): number | null {
    return this.#hasLightSensor ? this.device.display.brightness(tUs) : null;
  }

  look(controls: Controls, bridgeOhm: number): TipCircuit {
    const { a, b } = this.#tips;
    const onPads = a.place.on === 'pad' && b.place.on === 'pad';
    if (!(onPads && controls.bridge)) this.device.show(null);
    const seatA = a.place.on !== 'air';
    const seatB = b.place.on !== 'air';
    if (a.place.on === 'tips' && b.place.on === 'tips') {
      const touchOhm = constrictionOhm(Math.min(a.forceNewton, b.forceNewton));
      return { openVolt: 0, sourceOhm: 0, forceOhm: touchOhm, seatA, seatB };
    }
    if (a.place.on === 'pad' && b.place.on === 'pad') {
      const forceOhm = constrictionOhm(a.forceNewton) + constrictionOhm(b.forceNewton);
      // the bridge is between the force leads: their contacts are in series with it
      const bridge = controls.bridge ? bridgeOhm + forceOhm : null;
      if (bridge !== null) this.device.show({ padA: a.place.pad, padB: b.place.pad, ohm: bridge });
      return { ...this.device.between(a.place.pad, b.place.pad, bridge), forceOhm, seatA, seatB };
    }
    return { ...tipsInAir, sourceOhm: controls.bridge ? bridgeOhm : Number.POSITIVE_INFINITY, seatA, seatB };
  }

  excited(volt: number): void {
    const { a, b } = this.#tips;
    this.device.excited(
      a.place.on === 'pad' && b.place.on === 'pad' ? { volt, padA: a.place.pad, padB: b.place.pad } : null,
    );
  }
}
