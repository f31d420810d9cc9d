import type { Controls } from '../probe/controls.ts';
import type { FrontEndParts } from '../probe/front-end-parts.ts';
import type { TipCircuit } from './tips.ts';

/** The front end at rest, noise and pickup apart. */
export interface RestingFrontEnd {
  /** Between the sense pins. */
  readonly senseVolt: number;
  /** Between the force pins, where the tip voltage is taken. */
  readonly tipVolt: number;
  /** What drives the sense input, together with its load; it sets the time constant. */
  readonly drivingOhm: number;
}

/** Returns a nominal voltage that a divider makes from the reference: it follows the reference. */
function ratiometric(parts: FrontEndParts, nominalVolt: number): number {
  return (nominalVolt * parts.referenceVolt) / 5;
}

/**
 * Returns the voltages at sense and force pins once everything has settled.
 *
 * Source behind its resistor, switch and force contacts; the device as a voltage behind a
 * resistance; attenuator and bleed resistor as loads.
 */
export function settle(parts: FrontEndParts, controls: Controls, tips: TipCircuit): RestingFrontEnd {
  const loadSiemens = 1 / parts.attenuatorOhm + (controls.excitation ? 0 : 1 / parts.bleedOhm);
  const sourceVolt = ratiometric(parts, controls.dry ? parts.openDryVolt : parts.openNormalVolt);
  const sourceOhm = (parts.sourceOhm[controls.source] ?? parts.sourceOhm[0]) + parts.switchOhm;
  const deviceOhm = tips.sourceOhm + (Number.isFinite(tips.sourceOhm) ? parts.residueOhm : 0);
  if (controls.input === 0) {
    const inPathOhm = sourceOhm + tips.forceOhm;
    const node = meet(
      controls.excitation ? sourceVolt : 0,
      controls.excitation ? inPathOhm : Number.POSITIVE_INFINITY,
      tips.openVolt,
      deviceOhm,
      loadSiemens,
    );
    const ampere = controls.excitation ? (sourceVolt - node.volt) / inPathOhm : 0;
    return { senseVolt: node.volt, tipVolt: node.volt + ampere * tips.forceOhm, drivingOhm: node.ohm };
  }
  const insideOhm = [0, parts.internalShortOhm, parts.checkResistorOhm, Number.POSITIVE_INFINITY][controls.input]!;
  const inside = meet(
    sourceVolt,
    controls.excitation ? sourceOhm : Number.POSITIVE_INFINITY,
    0,
    insideOhm,
    1 / parts.attenuatorOhm,
  );
  const tipVolt = meet(0, Number.POSITIVE_INFINITY, tips.openVolt, deviceOhm, loadSiemens).volt;
  return { senseVolt: inside.volt, tipVolt, drivingOhm: inside.ohm };
}

/** Voltage where two sources behind resistances and a load meet, and the resistance seen there. */
function meet(
  voltA: number,
  ohmA: number,
  voltB: number,
  ohmB: number,
  loadSiemens: number,
): { volt: number; ohm: number } {
  if (ohmB === 0) return { volt: voltB, ohm: 0 };
  const siemens = 1 / ohmA + 1 / ohmB + loadSiemens;
  return { volt: (voltA / ohmA + voltB / ohmB) / siemens, ohm: 1 / siemens };
}

/**
 * Returns the voltage at the converter's sense channel for a voltage between the sense pins: live
 * zero, gain, and the amplifier's rails.
 */
export function amplify(parts: FrontEndParts, controls: Controls, senseVolt: number): number {
  const volt = ratiometric(parts, parts.liveZeroVolt) + gainOf(parts, controls) * (senseVolt + parts.offsetVolt);
  return Math.min(parts.referenceVolt, Math.max(0, volt));
}

/**
 * Returns the voltage between the sense pins that makes `amplifiedVolt` (within the rails) at the
 * converter: the inverse of {@link amplify}.
 */
export function senseVoltFor(parts: FrontEndParts, controls: Controls, amplifiedVolt: number): number {
  return (amplifiedVolt - ratiometric(parts, parts.liveZeroVolt)) / gainOf(parts, controls) - parts.offsetVolt;
}

const gainOf = (parts: FrontEndParts, controls: Controls): number =>
  controls.highGain ? parts.gainHigh : parts.gainLow;

/** Returns the voltage at the converter's tip voltage channel, within the level shifter's rails. */
export function shiftTipVolt(parts: FrontEndParts, tipVolt: number): number {
  const volt = ratiometric(parts, parts.voltageMidVolt) + tipVolt / parts.voltageDivider;
  return Math.min(parts.referenceVolt, Math.max(0, volt));
}
