import { amplify, senseVoltFor, settle, shiftTipVolt } from '../hands/settled.ts';
import { type TipCircuit, tipsInAir } from '../hands/tips.ts';
import type { Random } from '../random.ts';
import { type Controls, controlsInReset } from './controls.ts';
import type { FrontEndParts } from './front-end-parts.ts';

const codes = 1024;
const largestCode = codes - 1;
/**
 * Thresholds of the open comparator at the amplifier's output: high above the first, low again
 * below the second.
 */
const openComparatorVolt = { high: 3.9, low: 3.7 } as const;
/** Converter channels by what is on them. */
export const channel = { sense: 0, tipVoltage: 1, light: 2, bandgap: 14 } as const;
const microsecond = 1e-6;

/**
 * The light sensor in the dark, by the resistor in its plug, and in the brightest light
 * (hardware.md, item 12).
 */
const lightSensorVolt = { dark: 0.26, bright: 4.7 } as const;
const lightVolt = (light: number | null): number =>
  light === null ? 0 : lightSensorVolt.dark + light * (lightSensorVolt.bright - lightSensorVolt.dark);

/**
 * Noise of one conversion in codes rms by ADC clock divider: half a code in the converter's
 * specified clock range, more above it; common practice, no source.
 */
const noiseCodes = (adcClockDivider: number): number =>
  adcClockDivider >= 128 ? 0.5 : adcClockDivider >= 64 ? 0.6 : adcClockDivider >= 32 ? 1 : 2;
/** The converter's non-linearity also grows above its specified clock range. */
const inlFactor = (adcClockDivider: number): number => (adcClockDivider >= 64 ? 1 : adcClockDivider >= 32 ? 2 : 4);

/**
 * The probe's analog front end over time: what the converter finds on each channel, and the open
 * comparator's output.
 *
 * Between changes of the controls or of what is at the tips the sense voltage goes exponentially to
 * its settled value, with the time constant of what drives the sense input (its resistance times
 * the lead capacitance) and of the filter.
 */
export class FrontEnd {
  readonly parts: FrontEndParts;
  /** Brightness at the light sensor, 0 (dark) to 1; null: none is plugged in. */
  light: number | null = null;
  readonly #random: Random;
  #controls: Controls = controlsInReset;
  #startVolt = 0;
  #startUs = 0;
  #settledVolt = 0;
  #tauUs = 1;
  #drivingOhm = 0;
  #tipVolt = 0;
  #open = false;

  constructor(parts: FrontEndParts, random: Random) {
    this.parts = parts;
    this.#random = random;
    this.set(0, controlsInReset, tipsInAir);
  }

  /** Settled voltage between the tips, as the source in force makes it. */
  get settledTipVolt(): number {
    return this.#tipVolt;
  }

  /** Takes over new controls and a new circuit at the tips from `tUs` on. */
  set(tUs: number, controls: Controls, tips: TipCircuit): void {
    this.#startVolt = this.#senseVolt(tUs);
    this.#startUs = tUs;
    this.#controls = controls;
    const settled = settle(this.parts, controls, tips);
    this.#settledVolt = settled.senseVolt;
    this.#tipVolt = settled.tipVolt;
    this.#drivingOhm = settled.drivingOhm;
    this.#tauUs = (this.parts.filterSecond + settled.drivingOhm * this.parts.leadFarad) / microsecond;
  }

  /**
   * Output of the open comparator at `tUs`, and the time of its next change if nothing else happens
   * (Infinity: none).
   */
  comparator(tUs: number): { open: boolean; nextChangeUs: number } {
    const nowVolt = this.#senseVolt(tUs);
    const out = amplify(this.parts, this.#controls, nowVolt);
    if (this.#open ? out < openComparatorVolt.low : out > openComparatorVolt.high) this.#open = !this.#open;
    const threshold = this.#open ? openComparatorVolt.low : openComparatorVolt.high;
    const target = amplify(this.parts, this.#controls, this.#settledVolt);
    const willCross = this.#open ? target < threshold : target > threshold;
    if (!willCross) return { open: this.#open, nextChangeUs: Number.POSITIVE_INFINITY };
    // at the sense input, where the way to rest is exponential and no rail is in it
    const crossVolt = senseVoltFor(this.parts, this.#controls, threshold);
    const afterUs = this.#tauUs * Math.log((this.#settledVolt - nowVolt) / (this.#settledVolt - crossVolt));
    return { open: this.#open, nextChangeUs: tUs + Math.max(0, afterUs) + 0.1 };
  }

  /** Returns the code 0..1023 of a conversion of `input` that starts at `tUs`. */
  convert(input: number, tUs: number, adcClockDivider: number): number {
    const volt = this.#channelVolt(input, tUs);
    const share = Math.min(1, Math.max(0, volt / this.parts.referenceVolt));
    const { inlCodes, inlPhases } = this.parts;
    const inl =
      inlFactor(adcClockDivider) *
      (inlCodes[0] * Math.sin(2 * Math.PI * share + inlPhases[0]) +
        inlCodes[1] * Math.sin(14 * Math.PI * share + inlPhases[1]));
    const noise = noiseCodes(adcClockDivider) * this.#random.normal();
    // first transition at half a code (data sheet, 'ADC accuracy definitions')
    return Math.min(largestCode, Math.max(0, Math.round(share * codes + inl + noise)));
  }

  #channelVolt(input: number, tUs: number): number {
    const { parts } = this;
    if (input === channel.sense) return amplify(parts, this.#controls, this.#senseVolt(tUs) + this.#humVolt(tUs));
    if (input === channel.tipVoltage) return shiftTipVolt(parts, this.#tipVolt);
    if (input === channel.light) return lightVolt(this.light);
    if (input === channel.bandgap) return parts.bandgapVolt;
    return 0;
  }

  #senseVolt(tUs: number): number {
    return this.#settledVolt + (this.#startVolt - this.#settledVolt) * Math.exp(-(tUs - this.#startUs) / this.#tauUs);
  }

  #humVolt(tUs: number): number {
    const { humAmpere, humHertz, humPhase } = this.parts;
    if (humAmpere === 0) return 0;
    const ohm = Math.min(this.#drivingOhm, 1e6);
    return ohm * humAmpere * Math.sin(2 * Math.PI * humHertz * tUs * microsecond + humPhase);
  }
}
