import type { Random } from '../random.ts';

/**
 * One built front end: values of its parts as they are, not as they are marked. Ohms, volts,
 * seconds, farads.
 */
export interface FrontEndParts {
  /** Supply and converter reference. */
  readonly referenceVolt: number;
  /** Source resistors by select code 0..3 (10 ohm, 1 kohm, 33 kohm, 1 Mohm). */
  readonly sourceOhm: readonly [number, number, number, number];
  /** On-resistance of the switch in the source path. */
  readonly switchOhm: number;
  /** Open-circuit voltage at the normal and at the dry level. */
  readonly openNormalVolt: number;
  readonly openDryVolt: number;
  readonly gainLow: number;
  readonly gainHigh: number;
  /** Offset of the amplifier, referred to its input. */
  readonly offsetVolt: number;
  readonly liveZeroVolt: number;
  /**
   * Load of the tip voltage's attenuator, and of the bleed resistor that is on the tips while the
   * source is off.
   */
  readonly attenuatorOhm: number;
  readonly bleedOhm: number;
  /** Capacitance of leads, switch and sense input. */
  readonly leadFarad: number;
  /** Time constant of the filter before the converter. */
  readonly filterSecond: number;
  /** What remains of tips and leads inside the four-wire connection. */
  readonly residueOhm: number;
  readonly internalShortOhm: number;
  readonly checkResistorOhm: number;
  readonly bridgeOhm: number;
  readonly voltageDivider: number;
  readonly voltageMidVolt: number;
  readonly bandgapVolt: number;
  /** Mains pickup as a current into the source, peak ampere, with its frequency and phase. */
  readonly humAmpere: number;
  readonly humHertz: number;
  readonly humPhase: number;
  /** Integral non-linearity of the converter as two waves over its range, in codes. */
  readonly inlCodes: readonly [number, number];
  readonly inlPhases: readonly [number, number];
}

/**
 * Parts exactly as marked, without pickup and non-linearity: for comparing with a circuit
 * simulator.
 */
export const nominalParts: FrontEndParts = {
  referenceVolt: 5,
  sourceOhm: [10, 1e3, 33e3, 1e6],
  switchOhm: 0,
  openNormalVolt: 0.2,
  openDryVolt: 0.02,
  gainLow: 20,
  gainHigh: 200,
  offsetVolt: 0,
  liveZeroVolt: 0.1,
  attenuatorOhm: 800e6,
  bleedOhm: 10e6,
  leadFarad: 300e-12,
  filterSecond: 10e-6,
  residueOhm: 0,
  internalShortOhm: 0,
  checkResistorOhm: 100,
  bridgeOhm: 1,
  voltageDivider: 8,
  voltageMidVolt: 2.5,
  bandgapVolt: 1.1,
  humAmpere: 0,
  humHertz: 50,
  humPhase: 0,
  inlCodes: [0, 0],
  inlPhases: [0, 0],
};

/**
 * Returns a front end built of parts drawn within their tolerances (0.1 % for what sets the scale,
 * up to 1 % elsewhere).
 */
export function drawParts(random: Random): FrontEndParts {
  const within = (nominal: number, tolerance: number): number =>
    nominal * (1 + (tolerance / 2) * random.normalWithin(2));
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  return {
    referenceVolt: within(5, 0.01),
    sourceOhm: [within(10, 0.001), within(1e3, 0.001), within(33e3, 0.001), within(1e6, 0.005)],
    switchOhm: between(0.05, 0.3),
    openNormalVolt: within(0.2, 0.001),
    openDryVolt: within(0.02, 0.003),
    gainLow: within(20, 0.001),
    gainHigh: within(200, 0.002),
    offsetVolt: 2.5e-6 * random.normalWithin(2),
    liveZeroVolt: within(0.1, 0.002),
    attenuatorOhm: within(800e6, 0.02),
    bleedOhm: within(10e6, 0.05),
    leadFarad: within(300e-12, 0.1),
    filterSecond: within(10e-6, 0.1),
    residueOhm: between(0.001, 0.004),
    internalShortOhm: between(0.0005, 0.002),
    checkResistorOhm: within(100, 0.001),
    bridgeOhm: between(0.6, 1.2),
    voltageDivider: within(8, 0.002),
    voltageMidVolt: within(2.5, 0.001),
    bandgapVolt: within(1.1, 0.05),
    humAmpere: between(0.1e-9, 0.3e-9),
    humHertz: between(49.95, 50.05),
    humPhase: between(0, 2 * Math.PI),
    inlCodes: [between(0.1, 0.3), between(0.05, 0.15)],
    inlPhases: [between(0, 2 * Math.PI), between(0, 2 * Math.PI)],
  };
}
