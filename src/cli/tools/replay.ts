import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { readForeignFile } from '../../files/read-file.ts';
import { parseLimits } from '../../guide/file/limits.ts';
import { formatLimits, formatReading } from '../../measure/reading/format.ts';
import type { Limits } from '../../measure/types.ts';
import { type ReplayedCapture, replayBytes } from '../../session/replay/replay-bytes.ts';
import { outcomeText, whyText } from '../../view/words/outcome.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { ReplayOptions } from './replay-command.ts';

/**
 * `replay`: decodes a recorded byte stream again and prints what was captured in it, with verdicts
 * when limits are given.
 */
export async function replay(file: string, options: ReplayOptions, { terminal }: Context): Promise<number> {
  const limits = options.limits === undefined ? null : limitsOf(options.limits);
  const { captures, counters, readings, gaps } = replayBytes(await readForeignFile(file, 'byte log'), limits);
  if (options.json) printJson(terminal, { file, captures, readings, gaps, counters });
  else {
    if (limits !== null) terminal.say(`limits: ${formatLimits(limits)}`);
    for (const capture of captures) terminal.out(captureText(capture));
    terminal.say(`${counters.frames} frames, ${readings} readings, ${captures.length} captures, ${gaps} gaps`);
  }
  if (captures.length === 0) return exitCodes.inconclusive;
  const outcomes = captures.map((c) => c.outcome);
  if (outcomes.includes('fail')) return exitCodes.failed;
  return limits !== null && outcomes.some((o) => o !== 'pass') ? exitCodes.inconclusive : exitCodes.passed;
}

function captureText({ tUs, input, level, reading, outcome, why }: ReplayedCapture): string {
  const where = input === 'tips' ? `tips, ${level} level` : `internal ${input}`;
  return `${(tUs / 1e6).toFixed(3)} s  ${where}: ${formatReading(reading)}${outcome === null ? '' : `  ${outcomeText(outcome)}: ${whyText(why)}`}`;
}

function limitsOf(text: string): Limits {
  for (const dimension of ['ohm', 'volt'] as const) {
    const parsed = parseLimits(text, dimension);
    if (parsed.ok) return parsed.limits;
  }
  throw new OhmwrightError('usage.limits', `--limits ${text}: these are no limits.`, {
    help: "Write them as in a guide: 'max 2 ohm', 'min 1 Mohm', '0.2..0.6 ohm', '1.65..1.95 V'.",
  });
}
