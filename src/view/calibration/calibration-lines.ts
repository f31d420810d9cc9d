import { formatQuantity } from '../../measure/reading/format.ts';
import { type CalibrationEvent, type CalibrationState, isTaken } from '../../session/calibration/calibration-state.ts';
import { fitChance } from './fit-chance.ts';
import { verdictText } from './verdict.ts';

/**
 * Returns what a calibration session tells in plain lines after an event, given the state before
 * it.
 */
export function calibrationLines(before: CalibrationState, event: CalibrationEvent, now: CalibrationState): string[] {
  const lines: string[] = [];
  if (event.type === 'connected') lines.push(`${now.linkText}; ${now.before?.text ?? ''}`);
  if (event.type === 'disconnected') lines.push(`link lost: ${event.why}; the probe is looked for`);
  if (now.message !== null && now.message !== before.message) lines.push(now.message.text);
  for (const [index, standard] of now.standards.entries()) {
    const was = before.standards[index];
    if (was === undefined) lines.push(`added: ${standard.label}`);
    else if (!isTaken(was) && isTaken(standard)) lines.push(...takenLines(now, standard.label, standard.taken.length));
    else if (!was.skipped && standard.skipped) lines.push(`skipped: ${standard.label}`);
  }
  if (now.check !== null && before.check === null) {
    lines.push(`check resistor: ${formatQuantity(now.check.ohm, 'resistance')}`);
  }
  return lines;
}

function takenLines(state: CalibrationState, label: string, settings: number): string[] {
  const done = state.standards.filter(isTaken).length;
  const all = state.standards.filter(({ skipped }) => !skipped).length;
  const lines = [`taken: ${label} (${settings} ${settings === 1 ? 'setting' : 'settings'}; ${done} of ${all})`];
  for (const outcome of state.fit?.ranges ?? []) {
    if (!outcome.ok) continue;
    for (const { text } of outcome.fit.outliers) lines.push(`  range ${outcome.range} ${outcome.level}: ${text}`);
  }
  return lines;
}

/** Returns the fit of each range in a line, and the whole with what is wrong with it. */
export function fitSummaryLines({ fit }: Pick<CalibrationState, 'fit'>): string[] {
  if (fit === null) return ['no points were taken'];
  const lines = fit.ranges.map((outcome) => {
    const name = `range ${outcome.range} ${outcome.level}`.padEnd(16);
    if (!outcome.ok) return `${name} ${verdictText(outcome.problem.atBest)}: ${outcome.problem.text}`;
    const { rsOhm, uRsOhm, chiSquare, dof, probability, verdict, outliers, residuals } = outcome.fit;
    const uPct = ((100 * uRsOhm) / rsOhm).toPrecision(2);
    const left = outliers.length === 0 ? '' : `, ${outliers.length} left out`;
    return `${name} ${verdictText(verdict)}: Rs ${formatQuantity(rsOhm, 'resistance')} (u ${uPct} %), ${residuals.length} points${left}, chi-square ${chiSquare.toFixed(1)} of ${dof}, P ${fitChance(probability)}`;
  });
  for (const outcome of fit.ranges) {
    if (outcome.ok)
      for (const { text } of outcome.fit.problems) lines.push(`  range ${outcome.range} ${outcome.level}: ${text}`);
  }
  for (const { text } of fit.problems) lines.push(`  ${text}`);
  return lines;
}
