import { manyDof, studentCdf } from '../../statistics/distributions/distribution.ts';
import { defaultContactSettings, readingsInWindow } from '../contact/contact-settings.ts';
import { formatReading } from '../reading/format.ts';
import { effectiveDof, readWindow } from '../reading/read-window.ts';
import type { Calibration, CaptureWindow, Reading, Rule } from '../types.ts';

/** What opened a bridge; `unseen`: readings without it came, and no word of the probe. */
export type OpenedBy = 'timeUp' | 'request' | 'heartbeat' | 'overVoltage' | 'unseen';

/** One closure of the bridge, as the readings saw it. */
export interface Closure {
  /**
   * Readings with the bridge closed and both tips seated; a new window wherever they do not carry
   * straight on.
   */
  windows: CaptureWindow[];
  /** Probe time at which the bridge closed and opened. */
  closedUs: number;
  openedUs: number;
  openedBy: OpenedBy;
}

/** Whether the tips were joined, as the voltage between them tells. */
export interface ClosureProof {
  /** Voltage while closed: of the stretch in which it fell least; null without readings. */
  reading: Reading | null;
  proven: boolean;
  why: string;
}

/**
 * Share of the asked time for which readings must show the closure: the rest is the reading that is
 * dropped at each end.
 */
const leastShownShare = 0.7;
/** Fewer readings have no spread to speak of. */
const leastReadings = 8;

/**
 * Returns whether a bridge is proven to have conducted: the voltage across the tips stayed below
 * the share `collapse` of its idle value all the time that it was closed.
 *
 * The closed readings are looked at in stretches of a capture window's length, so that a tip that
 * came off for a moment shows. Each stretch must lie below the share with the probability of the
 * rule (JCGM 106:2012, 8.3), Student's t of the combined degrees of freedom (JCGM 100:2008, G.2b);
 * errors that both voltages share are counted twice, on the safe side.
 */
export function proveClosure(
  idle: Reading,
  closure: Closure,
  how: { collapse: number; durationMs: number; rule: Rule },
  calibration: Calibration,
): ClosureProof {
  const stretches = closure.windows.flatMap(stretchesOf).map((window) => readWindow(window, calibration));
  const worst = stretches.reduce<Reading | null>(
    (most, one) => (most === null || Math.abs(one.value) > Math.abs(most.value) ? one : most),
    null,
  );
  const no = (why: string): ClosureProof => ({ reading: worst, proven: false, why: `closure not proven: ${why}` });
  if (closure.openedBy === 'heartbeat')
    return no('the probe opened the bridge early, as it heard nothing from the host');
  if (closure.openedBy === 'overVoltage')
    return no('the probe opened the bridge, as there were more than 6 V across it');
  if (worst === null) return no('no reading was taken while it was closed with both tips on the pads');
  if (idle.state !== 'in-range' || stretches.some((one) => one.state !== 'in-range'))
    return no('a voltage was out of range');
  const shownUs = closure.windows.reduce((sum, { codes, periodUs }) => sum + codes.length * periodUs, 0);
  if (shownUs < how.durationMs * 1000 * leastShownShare) {
    return no(`the tips were seen joined for ${wholeMs(shownUs)} of ${how.durationMs} ms only`);
  }
  const p = how.rule.name === 'guarded' ? Math.max(how.rule.p, 0.5) : 0.5;
  const proven = stretches.every((one) => probabilityCollapsed(idle, one, how.collapse) >= p);
  const told = `idle ${formatReading(idle)}, closed ${formatReading(worst)}`;
  const share = `${Math.round(how.collapse * 100)} %`;
  if (!proven) return no(`${told}; it had to fall below ${share}. Are both tips on their pads?`);
  return { reading: worst, proven, why: `${told}: closure proven` };
}

/**
 * Returns the probability that a closed voltage lies below the share `collapse` of the idle one, in
 * magnitude.
 */
export function probabilityCollapsed(idle: Reading, closed: Reading, collapse: number): number {
  const margin = collapse * Math.abs(idle.value) - Math.abs(closed.value);
  const u = Math.hypot(closed.u, collapse * idle.u);
  if (u === 0) return margin > 0 ? 1 : 0;
  const dof = effectiveDof(u, [
    { u: closed.u, dof: closed.dof },
    { u: collapse * idle.u, dof: idle.dof },
  ]);
  return studentCdf(margin / u, Math.min(dof, manyDof));
}

/**
 * A window in pieces of a capture window's length; what is left at the end goes with the last
 * piece.
 */
function stretchesOf(window: CaptureWindow): CaptureWindow[] {
  const { codes, periodUs, tUs } = window;
  const length = readingsInWindow(defaultContactSettings.windowUs, periodUs);
  const pieces = Math.max(1, Math.floor(codes.length / length));
  if (codes.length < leastReadings) return [];
  return Array.from({ length: pieces }, (_, i) => ({
    ...window,
    tUs: tUs + i * length * periodUs,
    codes: codes.slice(i * length, i === pieces - 1 ? undefined : (i + 1) * length),
  }));
}

/** Returns microseconds in whole milliseconds, for people. */
export function wholeMs(us: number): string {
  return `${Math.round(us / 1000)} ms`;
}
