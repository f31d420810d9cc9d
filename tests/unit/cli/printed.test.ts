// Texts from guides, tickets and people on their way to a terminal: none is obeyed, none begins a line.
import { globSync, readFileSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { cli, type FakeTerminal } from '../../support/command-line.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

const bad = 'x\u001b[2J\u009b1m\u202e\nresult: forged\r';
const obeyed = /[\p{Cc}\p{Bidi_Control}\p{Zl}\p{Zp}]/u;

/** As YAML and JSON write it in double quotes. */
const quoted = (text: string): string =>
  JSON.stringify(text).replace(/[\u0080-\uffff]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);

let folder: string;
let guide: string;
let record: string;
let ran: FakeTerminal;

beforeAll(async () => {
  folder = scratch();
  guide = join(folder, 'guide.yaml');
  const text = await readFile(shortGuide, 'utf8');
  await writeFile(guide, text.replace(/^( *title: )[^"{}\n]+$/gm, `$1${quoted(bad)}`));
  record = join(folder, 'job.owjob');
  const told = [
    '--ticket',
    bad,
    '--symptom',
    bad,
    '--technician',
    bad,
    '--serial',
    bad,
    '--customer',
    bad,
    '--contact',
    bad,
  ];
  const args = ['run', guide, '--order', 'guide', '--port', 'sim:', '--revision', 'A', '--record', record, ...told];
  ran = (await cli(folder, args)).terminal;
});

function expectSafe(terminal: FakeTerminal): void {
  const lines = [...terminal.outLines, ...terminal.saidLines];
  expect(lines.filter((line) => obeyed.test(line))).toEqual([]);
  expect(lines.filter((line) => /^result: forged/.test(line))).toEqual([]);
}

describe('what a terminal would obey is shown', () => {
  test('by a job, whoever wrote it', () => {
    expect(ran.saidLines.length).toBeGreaterThan(5);
    expectSafe(ran);
  });

  test.each([
    ['show', ['show']],
    ['show --json', ['show', '--json']],
    ['verify', ['verify']],
    ['label', ['label']],
    ['jobs', ['jobs', '--jobs']],
    ['export', ['export', '--as', 'tap']],
    ['export', ['export', '--as', 'junit']],
  ])('by %s', async (_name, args) => {
    const { terminal } = await cli(folder, [...args, args.includes('--jobs') ? folder : record]);
    expect(terminal.outLines.length).toBeGreaterThan(0);
    expectSafe(terminal);
    if (args.includes('--json')) expect(terminal.json).toMatchObject({ state: { opened: { ticket: bad } } });
  });

  test.each([
    ['guide check', ['guide', 'check']],
    ['guide predict', ['guide', 'predict']],
    ['suspects', ['suspects']],
  ])('by %s', async (_name, args) => {
    const { terminal } = await cli(folder, [...args, guide]);
    expect(terminal.outLines.length).toBeGreaterThan(0);
    expectSafe(terminal);
  });

  test('by an error about a file whose name is such a text', async () => {
    const { code, terminal } = await cli(folder, ['guide', 'check', join(folder, bad)]);
    expect(code).toBe(2);
    expectSafe(terminal);
  });
});

test('nothing prints but the terminal, and the first file that looks at the version of Node.js', () => {
  const root = new URL('../../../', import.meta.url);
  const printing = globSync(['src/**/*.{ts,tsx}', 'sim/**/*.ts'], { cwd: root }).filter((path) =>
    /process\.std(out|err)\b|\bconsole\.\w+\(/.test(readFileSync(new URL(path, root), 'utf8')),
  );
  expect(printing.sort()).toEqual(['src/cli/main.ts', 'src/faces/screen/terminal/terminal.ts']);
});
