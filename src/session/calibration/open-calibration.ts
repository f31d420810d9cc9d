import type { CalibrationMeta } from '../../calibrate/fit/fit-types.ts';
import {
  combinationsFor,
  endStandards,
  type PresentedStandard,
} from '../../calibrate/standards/presented-standards.ts';
import type { CalibrationState, StandardState } from './calibration-state.ts';

/**
 * Returns a calibration session before its probe is found: both ends of the scale, then the
 * resistors.
 */
export function openCalibration(resistors: readonly PresentedStandard[], meta: CalibrationMeta): CalibrationState {
  return {
    meta,
    connected: false,
    linkText: 'looking for the probe',
    identity: null,
    before: null,
    standards: [...endStandards, ...resistors].map(freshStandard),
    isOpenEnded: resistors.length === 0,
    at: null,
    step: 0,
    stage: 'connecting',
    progress: 0,
    live: false,
    refused: null,
    message: null,
    last: null,
    fit: null,
    next: null,
    check: null,
    prompts: 0,
    end: null,
  };
}

/** Returns a standard of which nothing was read. */
export function freshStandard(standard: PresentedStandard): StandardState {
  const combinations = combinationsFor(standard.standard);
  return { ...standard, combinations, taken: combinations.map(() => null), skipped: combinations.length === 0 };
}
