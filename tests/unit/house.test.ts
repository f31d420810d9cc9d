import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
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

/** Rooms that use no clock, no chance and no machine; the linter holds the globals of them. */
const pure = [
  'errors',
  'ports',
  'statistics',
  'protocol',
  'measure',
  'checks',
  'isolate',
  'calibrate',
  'view',
  'guide',
];

const filesOf = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name));

describe('the folders', () => {
  test('hold at most 15 source files each', () => {
    const counts = new Map<string, number>();
    for (const file of [...filesOf('src'), ...filesOf('sim')]) {
      const folder = file.slice(0, file.lastIndexOf('/'));
      counts.set(folder, (counts.get(folder) ?? 0) + 1);
    }
    expect(counts.size).toBeGreaterThan(30);
    const tooFull = [...counts].filter(([, count]) => count > 15);
    expect(tooFull).toEqual([]);
  });

  test('that are rooms say on a page what they are for', () => {
    const rooms = [...new Set(filesOf('src').map((file) => file.split('/')[1]))];
    const pages = ['sim', ...rooms.map((name) => `src/${name}`)].map((room) => `${room}/README.md`);
    expect(pages.length).toBeGreaterThan(15);
    expect(pages.filter((page) => !existsSync(page))).toEqual([]);
  });

  test('of pure rooms draw nothing by chance', () => {
    const files = pure.flatMap((room) => filesOf(`src/${room}`));
    expect(files.length).toBeGreaterThan(150);
    expect(files.filter((file) => /Math\.random/.test(readFileSync(file, 'utf8')))).toEqual([]);
  });
});

describe('exported names', () => {
  /** Files of src and sim that define an exported name, by name. */
  const definitions = new Map<string, string[]>();
  const defined = /^export (?:async )?(?:type|interface|class|abstract class|function\*?|const|enum) (\w+)/gm;
  for (const file of [...filesOf('src'), ...filesOf('sim')]) {
    const names = new Set([...readFileSync(file, 'utf8').matchAll(defined)].map((found) => found[1]!));
    for (const name of names) definitions.set(name, [...(definitions.get(name) ?? []), file]);
  }

  test('mean one thing: none is defined in two files', () => {
    expect(definitions.size).toBeGreaterThan(1000);
    expect([...definitions].filter(([, files]) => files.length > 1)).toEqual([]);
  });
});
