// npm run bench [-- NAME...] [-- --json]: runs the benchmarks and says which targets are met. Exit code: 0 all met, 1 one is not met, 2 usage.
import { parseArgs } from 'node:util';
import { benchmarks } from './all.ts';
import { type Benchmark, type Figure, isMet, type Measured, workMissing } from './benchmark.ts';

interface Result {
  readonly benchmark: Benchmark;
  readonly seconds: number;
  readonly measured: Measured | null;
  /** Why there is nothing measured. */
  readonly error: string | null;
}

async function runOne(benchmark: Benchmark): Promise<Result> {
  const startMs = performance.now();
  const seconds = (): number => (performance.now() - startMs) / 1000;
  try {
    const measured = await benchmark.measure();
    const missing = workMissing(measured);
    if (missing.length > 0) throw new Error(`it did not do its work: no ${missing.join(', no ')}`);
    return { benchmark, seconds: seconds(), measured, error: null };
  } catch (error) {
    const text = error instanceof Error ? error.message : String(error);
    return { benchmark, seconds: seconds(), measured: null, error: text };
  }
}

/** Returns a number with four digits that count; whole numbers as they are. */
function shown(value: number): string {
  return Number.isInteger(value) ? String(value) : String(Number(value.toPrecision(4)));
}

const figureWidth = 52;

function figureLine(figure: Figure): string {
  const value = shown(figure.value).padStart(10);
  const target = `${figure.sense} ${shown(figure.target)}`.padEnd(14);
  return `  ${figure.what.padEnd(figureWidth)}${value}   ${target}${isMet(figure) ? 'met' : 'NOT met'}`;
}

function linesOf({ benchmark, seconds, measured, error }: Result): string[] {
  const head = `${benchmark.name} (${seconds.toFixed(0)} s): ${benchmark.claim}`;
  if (measured === null) return [head, `  could not be measured: ${error}   NOT met`];
  const numbers = Object.entries({ ...measured.work, ...measured.numbers }).map(
    ([name, value]) => `${name} ${shown(value)}`,
  );
  return [head, ...measured.figures.map(figureLine), ...(measured.lines ?? []), `  [${numbers.join(', ')}]`];
}

function allMet({ measured }: Result): boolean {
  return measured?.figures.every(isMet) ?? false;
}

function asData({ benchmark, seconds, measured, error }: Result) {
  const figures = measured?.figures.map((figure) => ({ ...figure, met: isMet(figure) })) ?? [];
  return {
    name: benchmark.name,
    claim: benchmark.claim,
    seconds,
    figures,
    work: measured?.work ?? {},
    numbers: measured?.numbers ?? {},
    error,
  };
}

async function main(argv: string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: argv,
    options: { json: { type: 'boolean' } },
    allowPositionals: true,
  });
  const unknown = positionals.filter((name) => !benchmarks.some((one) => one.name === name));
  if (unknown.length > 0) {
    const known = benchmarks.map((one) => one.name).join(', ');
    process.stderr.write(`There is no benchmark ${unknown.join(', ')}. There are: ${known}.\n`);
    return 2;
  }
  const chosen = benchmarks.filter((one) => positionals.length === 0 || positionals.includes(one.name));
  const results: Result[] = [];
  for (const benchmark of chosen) {
    if (values.json === true) process.stderr.write(`${benchmark.name}\n`);
    const result = await runOne(benchmark);
    results.push(result);
    if (values.json !== true) process.stdout.write(`${linesOf(result).join('\n')}\n\n`);
  }
  if (values.json === true) process.stdout.write(`${JSON.stringify(results.map(asData), null, 2)}\n`);
  const missed = results.filter((result) => !allMet(result)).map((result) => result.benchmark.name);
  const verdict = missed.length === 0 ? 'every target is met' : `NOT met: ${missed.join(', ')}`;
  process.stderr.write(`${results.length} benchmarks, ${verdict}\n`);
  return missed.length === 0 ? 0 : 1;
}

process.exitCode = await main(process.argv.slice(2)).catch((error: unknown) => {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
  return 2;
});
