import { execFileSync } from 'node:child_process';
import { describe, expect, test } from 'vitest';

interface Cruise {
  summary: { error: number; totalCruised: number; violations: { from: string; to: string; rule: { name: string } }[] };
  modules: { source: string; dependencies: { resolved: string }[] }[];
}

function cruise(): Cruise {
  const args = ['--config', '.dependency-cruiser.cjs'];
  const text = execFileSync('node_modules/.bin/depcruise', [...args, '--output-type', 'json', 'src', 'sim'], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  return JSON.parse(text) as Cruise;
}

describe('the arrows between the rooms', () => {
  const { summary, modules } = cruise();
  const importsOf = (source: string) =>
    modules.find((m) => m.source === source)?.dependencies.map((d) => d.resolved) ?? [];

  test('hold', () => {
    const broken = summary.violations.map((v) => `${v.rule.name}: ${v.from} -> ${v.to}`);
    expect(broken).toEqual([]);
  });

  test('are looked at: imports of TypeScript files are seen, type-only ones too', () => {
    expect(summary.totalCruised).toBeGreaterThan(150);
    expect(importsOf('src/session/engine/engine.ts').some((path) => path.includes('rxjs'))).toBe(true);
    expect(importsOf('src/session/job/job-session-state.ts')).toContain('src/measure/types.ts');
  });
});
