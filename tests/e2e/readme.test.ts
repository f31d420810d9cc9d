// What README.md promises, done as it says: the package as it is packed, in an empty folder, without the checkout around it.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, expect, test } from 'vitest';
import { commandList } from '../../src/cli/program/command-list.ts';
import { killProgramsAfterwards, Program } from '../support/program.ts';
import { scratch } from '../support/scratch.ts';

killProgramsAfterwards();

const root = fileURLToPath(new URL('../../', import.meta.url));
const readme = readFileSync(join(root, 'README.md'), 'utf8');
/** Lines of the page's blocks that begin with the program's name, without what is said of them. */
const commandLines = [...readme.matchAll(/^ {4}ohmwright (.*?)(?: +#.*)?$/gm)].map(([, words]) => words!.trim());
/** How a command line of the page ends, where it is not with 0. */
const endings: Readonly<Record<string, number>> = { run: 1 };

let packed: string;
let folder: string;

beforeAll(() => {
  const place = scratch();
  execFileSync('npm', ['pack', '--ignore-scripts', '--silent', '--pack-destination', place], { cwd: root });
  const [tarball] = readdirSync(place).filter((name) => name.endsWith('.tgz'));
  execFileSync('tar', ['-xzf', tarball!], { cwd: place });
  packed = join(place, 'package');
  // what npm would install beside it
  symlinkSync(join(root, 'node_modules'), join(packed, 'node_modules'));
  folder = join(place, 'empty');
  mkdirSync(folder);
}, 60_000);

test('every command line of the page that needs no probe works in an empty folder, in its order', async () => {
  expect(commandLines.length).toBeGreaterThan(6);
  const { OHMWRIGHT_KEY, OHMWRIGHT_CONFIG, PATH, HOME } = process.env;
  for (const line of commandLines) {
    const words = line.split(' ');
    const program = new Program(process.execPath, [join(packed, 'dist/src/cli/main.js'), ...words], {
      cwd: folder,
      env: { OHMWRIGHT_KEY, OHMWRIGHT_CONFIG, PATH, HOME, LC_ALL: 'C.UTF-8' },
    });
    program.child.stdin?.end();
    expect({ line, code: (await program.ended).code }).toEqual({ line, code: endings[words[0]!] ?? 0 });
  }
}, 120_000);

test('every page that README.md leads to is in the package', () => {
  const links = [...readme.matchAll(/\]\(([^)#:]+)(?:#[^)]*)?\)/g)].map(([, path]) => path!);
  expect(links.length).toBeGreaterThan(10);
  expect(links.filter((path) => !existsSync(join(packed, path)))).toEqual([]);
});

test('every heading that README.md leads to is there', () => {
  const links = [...readme.matchAll(/\]\(([^)#:]+)#([^)]+)\)/g)];
  expect(links.length).toBeGreaterThan(3);
  const slug = (heading: string): string =>
    heading
      .toLowerCase()
      .replace(/[^a-z0-9 -]/g, '')
      .replaceAll(' ', '-');
  const missing = links.filter(([, path, wanted]) => {
    const headings = [...readFileSync(join(packed, path!), 'utf8').matchAll(/^#+ (.*)$/gm)].map(([, text]) =>
      slug(text!),
    );
    return !headings.includes(wanted!);
  });
  expect(missing.map(([link]) => link)).toEqual([]);
});

test('every command that README.md names is one', () => {
  const names = commandList.map(({ name }) => name);
  const named = [...readme.matchAll(/`(?:npx )?ohmwright ([a-z]+)/g)].map(([, word]) => word!);
  expect(named.length).toBeGreaterThan(3);
  expect(named.filter((word) => !names.includes(word))).toEqual([]);
});

test('the page opens with the job, and is short', () => {
  const [title, , first] = readme.split('\n');
  expect(title).toBe('# ohmwright');
  expect(first).toMatch(/^A handheld device comes to the bench/);
  expect(readme.split('\n').length).toBeLessThan(110);
});
