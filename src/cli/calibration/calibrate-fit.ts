import { fitCalibration } from '../../calibrate/fit/fit-calibration.ts';
import type { CalibrationMeta, FitVerdict } from '../../calibrate/fit/fit-types.ts';
import { nextStandard } from '../../calibrate/fit/next-standard.ts';
import { parsePointsCsv } from '../../calibrate/points/points-csv.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { readForeignText } from '../../files/read-file.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { CalibrateFitOptions } from './calibrate-fit-command.ts';
import { fitLines } from './calibrate-fit-lines.ts';
import { loadResistorSet, setNoteText } from './load-resistor-set.ts';

/** So many problems show what is wrong with a file; more would push them out of sight. */
const mostTold = 5;

/**
 * A doubtful calibration may be used by somebody who has read why; nothing else may take it for a
 * good one.
 */
const exitOf: Readonly<Record<FitVerdict, number>> = {
  good: exitCodes.passed,
  doubtful: exitCodes.inconclusive,
  refused: exitCodes.failed,
};

/**
 * `calibrate fit`: fits the points in a file, tells what speaks for and against them, and returns
 * the exit code. Writes nothing.
 */
export async function calibrateFit(file: string, options: CalibrateFitOptions, { terminal }: Context): Promise<number> {
  const loaded = options.set === undefined ? null : await loadResistorSet(options.set, terminal.now());
  for (const question of loaded?.questions ?? []) terminal.say(setNoteText(options.set!, question));
  const parsed = parsePointsCsv(await readForeignText(file, 'table of values'), loaded?.set ?? null);
  if (!parsed.ok) {
    const lines = parsed.problems
      .slice(0, mostTold)
      .map(({ line, column, text }) => `${file}:${line}: ${text}${column === null ? '' : ` (${column})`}`);
    if (parsed.problems.length > mostTold) lines.push(`${file}: and more lines in want of mending`);
    throw new OhmwrightError('points.invalid', lines, {
      help: 'mend the file; examples/bench-points.csv shows the form',
    });
  }
  const meta: CalibrationMeta = {
    probeSerial: options.probe,
    dateUnixS: Math.floor(terminal.now().getTime() / 1000),
    validDays: options.validDays,
    temperatureC: loaded?.set.temperatureC ?? null,
    setId: loaded?.set.id ?? '',
  };
  const fit = fitCalibration(parsed.points, meta);
  const ranges = fit.ranges.map(({ range, level }) => ({ range, level }));
  const candidates = loaded?.set.resistors.map(({ standard }) => standard) ?? null;
  const tips = [{ kind: 'short' }, { kind: 'open' }] as const;
  const next = nextStandard(parsed.points, candidates === null ? null : [...tips, ...candidates], { ranges });
  if (options.json) {
    const points = parsed.points.map((point, i) => ({ line: parsed.lines[i], ...point }));
    printJson(terminal, { file, set: loaded?.set.id ?? null, points, ...fit, next: next.slice(0, 5) });
  } else for (const line of fitLines(fit, parsed.points, parsed.lines, next[0] ?? null)) terminal.out(line);
  return exitOf[fit.verdict];
}
