// npm run fuzz [PARSER] [COUNT]: changes inputs, guided by what they reach, and keeps those that reach more.
// Without a name every parser in turn; without a count as many executions as the parser's whole run has.
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readCorpus, writeCorpus } from './corpus.ts';
import { Coverage, countFromNowOn } from './coverage.ts';
import { fuzz } from './loop.ts';
import { watchExecutions } from './watch.ts';

countFromNowOn();
const { loadTarget, targetNames } = await import('./targets.ts');

const [name = 'all', count] = process.argv.slice(2);
const seed = Number(process.env.OHMWRIGHT_SEED ?? Date.now() % 1_000_000);
const chosen = targetNames.filter((one) => name === 'all' || one === name);
if (chosen.length === 0) {
  process.stderr.write(`There is no parser ${name}; there are ${targetNames.join(', ')}.\n`);
  process.exitCode = 2;
}
const folder = mkdtempSync(join(tmpdir(), 'ohmwright-fuzz-'));
const onInput = watchExecutions(folder);
for (const one of chosen) {
  const target = await loadTarget(one);
  const coverage = new Coverage();
  const kept = [...readCorpus(target.name, 'kept'), ...readCorpus(target.name, 'found')];
  const result = fuzz(target, {
    executions: Number(count ?? target.executions),
    seed,
    corpus: kept,
    coverage,
    onInput,
    onProgress: (done, pool, met) => {
      if (process.stdout.isTTY)
        process.stdout.write(`\r${target.name} ${done} executions, ${pool} inputs, ${met} met `);
    },
  });
  const { executions, corpus, findings, mostSteps } = result;
  writeCorpus(target.name, 'kept', corpus);
  if (findings.length > 0) {
    writeCorpus(target.name, 'found', [...readCorpus(target.name, 'found'), ...findings.map(({ input }) => input)]);
    process.exitCode = 1;
  }
  const { counters, met } = result.coverage;
  const heapMiB = Math.round(process.memoryUsage().heapUsed / 1024 ** 2);
  const figures = { parser: target.name, seed, executions, findings: findings.length, met, counters, mostSteps };
  process.stdout.write(`${JSON.stringify({ ...figures, kept: corpus.length, heapMiB })}\n`);
  for (const { input, why } of findings) process.stdout.write(`  ${input.length} bytes: ${why}\n`);
}
