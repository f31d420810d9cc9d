import { expandedUncertainty, formatQuantity } from '../../src/measure/reading/format.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readWindow } from '../../src/measure/reading/read-window.ts';
import type { Calibration } from '../../src/measure/types.ts';
import { emulatedCalibration, resistorOf } from '../support/emulated-calibration.ts';
import type { Measured } from './benchmark.ts';
import { groundPad, padOf, resistorBoard } from './resistor-board.ts';
import { TouchRig } from './touch-rig.ts';

export const name = 'calibrated-error';
export const claim =
  'error of emulated touches before a calibration against after it: a hands-free sitting with resistors of 0.1 %, each probe and board drawn anew';

const probes = 4;
const setOhms = [0.1, 0.47, 1, 4.7, 10, 33, 100, 470, 1e3, 3.3e3, 10e3, 22e3, 47e3, 100e3, 330e3, 1e6, 3.3e6];
const targetOhms = [0.05, 0.15, 0.5, 1.5, 5, 15, 50, 150, 500, 1500, 5e3, 15e3, 50e3, 150e3, 500e3, 1e6];
/** What is promised: half a percent and five milliohm. */
const promisedRel = 0.005;
const promisedOhm = 0.005;

/** Returns the calibration that an emulated probe gets in a sitting, by hands and in probe time alone. */
async function calibrated(seed: number): Promise<Calibration> {
  const { state } = await emulatedCalibration({ standards: setOhms.map(resistorOf), seed });
  if (state.fit?.calibration == null) throw new Error(`the sitting of probe ${seed} was refused`);
  return state.fit.calibration;
}

/** Returns the worst errors of each value over all probes, before and after. */
export async function measure(): Promise<Measured> {
  const worst = targetOhms.map(() => ({ before: 0, after: 0, uBefore: 0, uAfter: 0 }));
  let outside = 0;
  let touches = 0;
  for (let seed = 1; seed <= probes; seed++) {
    const calibration = await calibrated(seed);
    const rig = new TouchRig({ guide: resistorBoard(targetOhms), seed });
    for (const [index] of targetOhms.entries()) {
      const truth = rig.device.between(padOf(index), groundPad, null).sourceOhm;
      const { outcome } = rig.touch(padOf(index), groundPad);
      if (outcome === null) throw new Error(`nothing came of a touch on ${truth} ohm`);
      const before = readWindow(outcome.window, nominalCalibration);
      const after = readWindow(outcome.window, calibration);
      const one = worst[index]!;
      one.before = Math.max(one.before, Math.abs(before.value - truth) / truth);
      one.after = Math.max(one.after, Math.abs(after.value - truth) / truth);
      one.uBefore = Math.max(one.uBefore, expandedUncertainty(before) / truth);
      one.uAfter = Math.max(one.uAfter, expandedUncertainty(after) / truth);
      touches++;
      if (Math.abs(after.value - truth) > promisedRel * truth + promisedOhm) outside++;
    }
  }
  const percent = (share: number): string => `${(100 * share).toPrecision(2)} %`.padStart(10);
  const lines = [
    `  ${'value'.padEnd(12)}${['error', 'U', 'error after', 'U after'].map((word) => word.padStart(12)).join('')}`,
    ...targetOhms.map((ohm, i) => {
      const { before, uBefore, after, uAfter } = worst[i]!;
      return `  ${formatQuantity(ohm, 'resistance').padEnd(12)}${[before, uBefore, after, uAfter].map((share) => `  ${percent(share)}`).join('')}`;
    }),
  ];
  const gain = worst.reduce((sum, { before, after }) => sum + Math.log(before / after), 0) / worst.length;
  return {
    figures: [
      { what: 'touches beyond 0.5 % + 5 milliohm after it', value: outside, sense: 'at most', target: 0 },
      { what: 'worst error before / after (geometric mean)', value: Math.exp(gain), sense: 'at least', target: 1.5 },
    ],
    work: { probes, touches },
    numbers: {},
    lines,
  };
}
