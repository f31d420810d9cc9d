import type { Calibration, ContactSettings } from '../types.ts';
import { type PathLevels, pathLevels } from './path-state.ts';
import { SteadyLimits } from './steady-limits.ts';

/**
 * What is derived once from settings and calibration for a range and level, or for the voltage
 * channel (`levels` null).
 */
export interface RangeModel {
  range: number;
  dry: boolean;
  voltage: boolean;
  levels: PathLevels | null;
  limits: SteadyLimits;
}

/** The models of all ranges of a calibration, looked up by the fields of a batch. */
export class RangeModels {
  readonly #byKey: (RangeModel | undefined)[] = [];
  readonly #voltage: SteadyLimits;
  /** Without seat sense a voltage of this many codes off zero counts as contact. */
  readonly voltageContactCodes: number;

  constructor(calibration: Calibration, settings: ContactSettings) {
    this.#voltage = new SteadyLimits(null, calibration, settings);
    // 0.1 V: well above the zero's uncertainty of an unmeasured probe
    this.voltageContactCodes = 0.1 * Math.abs(calibration.voltage.codesPerVolt);
    for (const entry of calibration.ranges) {
      const dry = entry.level === 'dry';
      this.#byKey[entry.range * 2 + (dry ? 1 : 0)] = {
        range: entry.range,
        dry,
        voltage: false,
        levels: pathLevels(entry, settings),
        limits: new SteadyLimits(entry, calibration, settings),
      };
    }
  }

  /** Returns the model, or null for a range that the calibration does not hold. */
  of(range: number, dry: boolean, voltage: boolean): RangeModel | null {
    if (voltage) return { range, dry, voltage, levels: null, limits: this.#voltage };
    return this.#byKey[range * 2 + (dry ? 1 : 0)] ?? null;
  }
}

const known = new WeakMap<Calibration, WeakMap<ContactSettings, RangeModels>>();

/**
 * Returns the models of a calibration and settings, made once for the same two objects (which are
 * not changed after).
 */
export function rangeModels(calibration: Calibration, settings: ContactSettings): RangeModels {
  let bySettings = known.get(calibration);
  if (bySettings === undefined) {
    bySettings = new WeakMap();
    known.set(calibration, bySettings);
  }
  let models = bySettings.get(settings);
  if (models === undefined) {
    models = new RangeModels(calibration, settings);
    bySettings.set(settings, models);
  }
  return models;
}
