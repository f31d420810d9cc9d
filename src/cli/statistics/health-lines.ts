import { timeChart } from '../../report/pictures/time-chart.ts';
import type { HealthSeries } from './health-series.ts';

const chartSize = { width: 60, height: 11 };
/** Names of the proofs in running text. */
export const proofNames = { 'shorted-tips': 'shorted tips', 'check-resistor': 'check resistor' } as const;

/** Returns the lines about one series of proofs: what it shows, since when, and its chart. */
export function healthLines(series: HealthSeries): string[] {
  const { probe, calibration, calibrationDate, what, proofs, health, notPassed } = series;
  const { chart, target, sd } = health;
  const made = calibrationDate === null ? '' : ` of ${day(calibrationDate)}`;
  const from = `${day(proofs[0]!.at)} .. ${day(proofs.at(-1)!.at)}`;
  const lines = [
    `Probe ${probe}, ${proofNames[what]}, calibration ${calibration}${made}: ${proofs.length} proofs, ${from}`,
    `  ${verdict(series)}`,
  ];
  if (notPassed > 0) lines.push(`  ${notPassed} of them did not pass`);
  if (chart !== null && target !== null && sd !== null) {
    lines.push(
      `  usual ${show(target)}, s ${show(sd)} by the first ${proofs.filter(({ ohm }) => ohm !== null).length - chart.points.length} proofs; since then . value, o average, X average outside its limits (-)`,
    );
    lines.push(...timeChart(chart.points, target, chartSize, show).map((line) => `  ${line}`));
  }
  return [...lines, ''];
}

function verdict({ health, beganAt, signalAt }: HealthSeries): string {
  switch (health.state) {
    case 'few':
      return `too few to tell a drift: ${health.needed} more readable proofs would do; each single one is checked all the same`;
    case 'steady':
      return 'steady: the average stayed within its limits';
    case 'drifting':
      return `DRIFTING: outside its limits since ${time(signalAt)}; the drift began about ${time(beganAt)}. Look at tips and leads, then calibrate again; what was measured since then is in doubt`;
    case 'returned':
      return `steady now, but outside its limits at ${time(signalAt)}, from about ${time(beganAt)} on: what was measured in between is in doubt`;
  }
}

function show(ohm: number): string {
  return Math.abs(ohm) < 1 ? `${Number((ohm * 1000).toPrecision(3))} mohm` : `${Number(ohm.toPrecision(7))} ohm`;
}

function day(iso: string): string {
  return iso.slice(0, 10);
}

function time(iso: string | null): string {
  return iso === null ? 'an unknown time' : iso.slice(0, 16).replace('T', ' ');
}
