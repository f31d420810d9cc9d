import { frontEndTable } from '../../protocol/table.ts';
import type { Calibration, ContactSettings, RangeCalibration } from '../types.ts';
import type { SteadyWindow } from './steady-window.ts';

/** Why a window is not steady: spread too wide, drifting, or a reading far off the rest. */
export type Instability = 'spread' | 'drift' | 'jump';

/** How many standard deviations of the expected noise a steady window keeps within. */
const spreadSigmas = 2.5;
const driftSigmas = 3.5;
const jumpSigmas = 4.5;
const wanderSigmas = 6;
/**
 * A sine of 1 rms: its scaled MAD is 1.5, its largest apparent change over a window of a period or
 * so 2.7, its peak 1.4.
 */
const humSpread = 1.6;
const humDrift = 3;
const humPeak = 1.5;

/**
 * What a steady reading may look like, in codes, at each code of a range: the converter's noise and
 * rounding, mains pickup in proportion to the resistance that drives the input, and a relative
 * floor under both for contacts of metal pressed by hand.
 */
export class SteadyLimits {
  readonly #noise: number;
  /** Pickup in codes rms at the open level. */
  readonly #humOpen: number;
  readonly #entry: RangeCalibration | null;
  readonly #nOff: number;
  readonly #span: number;
  readonly #codesPerOhm: number;
  readonly #settings: ContactSettings;
  readonly #floorVoltCodes: number;

  /** For a range (`entry`), or with null for the voltage channel. */
  constructor(entry: RangeCalibration | null, calibration: Calibration, settings: ContactSettings) {
    const { converterLsb, humAmpere } = settings.noise;
    this.#settings = settings;
    this.#entry = entry;
    this.#noise = Math.sqrt(frontEndTable.sumOf * (converterLsb * converterLsb + 1 / 12));
    this.#nOff = entry?.nOff ?? calibration.voltage.nZero;
    this.#span = entry === null ? 1 : entry.nOpen - entry.nOff;
    this.#codesPerOhm = entry === null ? 0 : this.#span / entry.rsOhm;
    this.#floorVoltCodes = settings.floorVolt * Math.abs(calibration.voltage.codesPerVolt);
    const openVolt = entry?.level === 'dry' ? frontEndTable.openDryVolt : frontEndTable.openNormalVolt;
    this.#humOpen = entry === null ? 0 : (humAmpere * entry.rsOhm * this.#span) / openVolt;
  }

  /** Returns why the window is not steady, or null when it is. An empty window is not. */
  instability(window: SteadyWindow): Instability | null {
    const noise = this.#noise;
    const settings = this.#settings;
    const middle = window.median;
    const hum = this.#hum(middle);
    const drift = this.#floor(middle, settings.maxRelDrift);
    const driftNoise = noise * Math.sqrt(12 / window.size);
    if (!(Math.abs(window.change) <= driftSigmas * driftNoise + humDrift * hum + drift)) return 'drift';
    if (!(window.highest - window.lowest <= 2 * (jumpSigmas * noise + humPeak * hum + drift))) return 'jump';
    const spread = spreadSigmas * noise + humSpread * hum + this.#floor(middle, settings.maxRelSpread);
    return window.spread <= spread ? null : 'spread';
  }

  /**
   * How far, in codes, a reading may lie from a captured code before the touch counts as wandering.
   */
  wander(capturedCode: number): number {
    return (
      wanderSigmas * this.#noise +
      2 * humPeak * this.#hum(capturedCode) +
      this.#floor(capturedCode, this.#settings.maxRelWander)
    );
  }

  #hum(code: number): number {
    return this.#humOpen * Math.abs((code - this.#nOff) / this.#span);
  }

  /**
   * A relative change `rel` of the value, and the absolute floor, in codes: dN = span x (1 - x)
   * dR/R.
   */
  #floor(code: number, rel: number): number {
    if (this.#entry === null) return rel * Math.abs(code - this.#nOff) + this.#floorVoltCodes;
    const share = (code - this.#nOff) / this.#span;
    const rest = 1 - share;
    return Math.abs(rel * this.#span * share * rest) + this.#settings.floorOhm * this.#codesPerOhm * rest * rest;
  }
}
