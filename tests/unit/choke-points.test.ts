// Files and terminals are reached through few places. The arrows hold plain imports; here stand the ways round them.
import { globSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

const root = new URL('../../', import.meta.url);

/** Ways to the machine that no import rule sees, each with the files that may go it. */
const ways: readonly { name: string; pattern: RegExp; example: string; may: readonly string[] }[] = [
  {
    name: 'a module asked of the process',
    pattern: /getBuiltinModule|process\.binding|mainModule/,
    example: "process.getBuiltinModule('fs').writeFileSync(path, text)",
    may: [],
  },
  {
    name: 'a module required by name',
    pattern: /\bcreateRequire\b|\brequire\s*\(/,
    example: "createRequire(import.meta.url)('node:fs')",
    // its package is loaded only where a pseudo-terminal is asked for
    may: ['sim/wire/pty.ts'],
  },
  {
    name: 'a module whose name is worked out',
    pattern: /\bimport\(\s*(?!['"])/,
    example: "await import(['node', 'fs'].join(':'))",
    may: [],
  },
  {
    name: 'another process or thread',
    pattern: /['"](?:node:)?(?:child_process|worker_threads|cluster|vm|module|repl)['"]/,
    example: "import { execSync } from 'node:child_process'",
    // the second one asks for the compile cache, and loads nothing
    may: ['sim/wire/pty.ts', 'src/cli/start-up/compile-cache.ts'],
  },
  {
    name: 'code made of text',
    pattern: /\beval\s*\(|\bnew Function\b/,
    example: "new Function('return process')()",
    may: [],
  },
  {
    name: 'streams of the process under other names',
    pattern:
      /\{[^}]*\bstd(?:out|err)\b[^}]*\}\s*=\s*process|\[['"`]std(?:out|err)['"`]\]|globalThis\.console|=\s*console\b/,
    example: 'const { stdout } = process',
    // the one that prints
    may: ['src/faces/screen/terminal/terminal.ts'],
  },
];

describe.each(ways)('$name', ({ pattern, example, may }) => {
  test('is known when it is met', () => {
    expect(example).toMatch(pattern);
  });

  test('is gone by nobody else', () => {
    const files = globSync(['src/**/*.{ts,tsx}', 'sim/**/*.ts'], { cwd: root });
    expect(files.length).toBeGreaterThan(300);
    const going = files.filter((path) => pattern.test(readFileSync(new URL(path, root), 'utf8')));
    expect(going.sort()).toEqual(may);
  });
});
