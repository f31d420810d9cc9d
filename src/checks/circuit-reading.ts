import type { CheckProblem, SolveFor } from '../guide/check-kind.ts';
import type { Fault, Guide, Limits, Link, Power } from '../guide/types.ts';
import { formatQuantity } from '../measure/reading/format.ts';

/** The largest resistance that the probe tells from an open: 10 Mohm, on its 1 Mohm range. */
export const probeEndOhm = 10e6;
/**
 * What the probe puts between its tips while it reads volts: its attenuator of 800 Mohm beside the
 * 10 Mohm that hold open tips at 0 V. A pad that hangs on nothing reads 0 V by it.
 */
export const meterOhm = 1 / (1 / 800e6 + 1 / 10e6);
/** The largest voltage that the probe reads, either way. */
const probeEndVolt = 20;
/**
 * What moves a reading by less than this part of it, or a voltage by less than this, doesn't make
 * it unsteady.
 */
const noticedShare = 0.02;
const noticedVolt = 0.02;

/** How a check finds the device. */
type How = Parameters<SolveFor>[0];

/** Returns whether a number is inside limits, the ends included. */
export function isInside(number: number, { min, max }: Limits): boolean {
  return (min === undefined || number >= min) && (max === undefined || number <= max);
}

/**
 * Returns whether the resistance between two pads comes and goes: a weak link makes up a noticeable
 * part of it, or it is another while an intermittent link is open.
 */
export function isUnsteadyOhm(solve: SolveFor, how: How, pads: [string, string], faults: readonly Fault[]): boolean {
  const { weak, intermittent } = unsteadyLinks(faults);
  if (weak.length > 0) {
    const shares = solve(how).shares(...pads);
    if (shares.some(({ link, share }) => weak.includes(link) && share >= noticedShare)) return true;
  }
  if (intermittent.length === 0) return false;
  const ohm = solve(how).resistanceOhm(...pads);
  return solve({ ...how, opened: intermittent }).resistanceOhm(...pads) > (1 + noticedShare) * ohm;
}

/**
 * Returns whether the voltage between two pads comes and goes: it is another while an intermittent
 * link is open, or much of it stands across a weak one.
 */
export function isUnsteadyVolt(
  guide: Guide,
  solve: SolveFor,
  how: How,
  pads: [string, string],
  faults: readonly Fault[],
): boolean {
  const { weak, intermittent } = unsteadyLinks(faults);
  if (weak.length === 0 && intermittent.length === 0) return false;
  const circuit = solve(how);
  // a weak link that is taken apart carries nothing
  const conducts = ({ id, from, to }: Link): boolean =>
    circuit.shares(from, to).some(({ link, share }) => link === id && share > 0);
  const across = guide.links
    .filter((link) => weak.includes(link.id) && conducts(link))
    .map((link) => Math.abs(circuit.nodeVolt(link.from) - circuit.nodeVolt(link.to)));
  const volt = circuit.thevenin(...pads).openVolt;
  const moved =
    intermittent.length === 0 ? 0 : Math.abs(solve({ ...how, opened: intermittent }).thevenin(...pads).openVolt - volt);
  return Math.max(moved, ...across) >= Math.max(noticedVolt, noticedShare * Math.abs(volt));
}

function unsteadyLinks(faults: readonly Fault[]): { weak: string[]; intermittent: string[] } {
  const of = (mode: Fault['mode']): string[] => faults.filter((one) => one.mode === mode).map((one) => one.link);
  return { weak: of('weak'), intermittent: of('intermittent') };
}

/** Returns what is wrong with a check of ohms, whatever the circuit. */
export function resistanceProblems({ power, limits }: { power: Power; limits: Limits }): CheckProblem[] {
  const problems: CheckProblem[] = [];
  if (power === 'on') problems.push({ severity: 'error', code: 'power.on-for-ohms', at: ['power'], args: {} });
  for (const side of ['min', 'max'] as const) {
    const limit = limits[side];
    if (limit !== undefined && limit > probeEndOhm) {
      const args = { side, limit: formatQuantity(limit, 'resistance'), end: formatQuantity(probeEndOhm, 'resistance') };
      problems.push({ severity: 'error', code: 'limits.beyond-probe', at: ['limits', side], args });
    }
  }
  return problems;
}

/** Returns what is wrong with a check of volts, whatever the circuit. */
export function voltageProblems(limits: Limits): CheckProblem[] {
  const problems: CheckProblem[] = [];
  for (const side of ['min', 'max'] as const) {
    const limit = limits[side];
    if (limit !== undefined && Math.abs(limit) > probeEndVolt) {
      const args = { side, limit: formatQuantity(limit, 'voltage'), end: formatQuantity(probeEndVolt, 'voltage') };
      problems.push({ severity: 'error', code: 'limits.beyond-probe', at: ['limits', side], args });
    }
  }
  return problems;
}
