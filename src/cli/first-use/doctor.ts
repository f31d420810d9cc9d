import { delimiter, join } from 'node:path';
import { errnoWords } from '../../errors/errno.ts';
import { lookOf } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { exists, folderProblem } from '../../files/folder.ts';
import { readForeignText } from '../../files/read-file.ts';
import { findProbes } from '../../link/probe/find-probes.ts';
import { listPorts } from '../../link/serial/ports.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { benchSecret, openBenchKey } from '../../record/signing/bench-key.ts';
import { udevRuleFile } from '../places/example-file.ts';
import { benchKeyPath, jobsFolderOf } from '../places/locations.ts';
import { type Context, printJson } from '../program/context.ts';
import { worstExit } from '../program/exit-codes.ts';
import type { Printer } from '../program/printer.ts';
import { loadSettings } from '../settings/load-settings.ts';
import { type BenchFacts, benchFindings } from './bench-findings.ts';

interface DoctorOptions {
  port: string | undefined;
  jobs: string | undefined;
  json: boolean;
}

const marks = { good: 'ok   ', note: 'note ', wrong: 'WRONG' } as const;

/** `doctor`: says what keeps this bench from its work, and the one command that mends it. */
export async function doctor(options: DoctorOptions, { terminal, signal }: Context): Promise<number> {
  const findings = benchFindings(await factsOf(options, terminal, signal));
  if (options.json) printJson(terminal, findings);
  else {
    for (const { what, state, text, mend } of findings) {
      terminal.out(`${marks[state]} ${what.padEnd(9)} ${text}`);
      if (mend !== null) terminal.out(`                -> ${mend}`);
    }
  }
  return worstExit(findings.map(({ exitCode }) => exitCode));
}

async function factsOf({ port, jobs }: DoctorOptions, terminal: Printer, signal: AbortSignal): Promise<BenchFacts> {
  const folder = jobsFolderOf(jobs, terminal);
  const { screen } = terminal;
  return {
    platform: process.platform,
    node: process.versions.node,
    ports: await portsOf(port, signal),
    isRoot: process.getuid?.() === 0,
    hasUdevRule: await anyThere(
      ['/etc/udev/rules.d', '/usr/lib/udev/rules.d', '/run/udev/rules.d'],
      '70-ohmwright.rules',
    ),
    udevRule: udevRuleFile(),
    portGroups: await portGroups(),
    hasUnicode: lookOf(terminal, {}).unicode,
    language: languageOf(terminal),
    screen: screen === null ? null : { cols: screen.stdout.columns, rows: screen.stdout.rows },
    key: await keyFacts(terminal),
    jobs: { folder, problem: await folderProblem(folder) },
    settingProblems: (await loadSettings(terminal, jobs)).problems,
    browser: await browserOf(terminal),
  };
}

/** The language of messages by the locale's variables (POSIX.1-2024, 8.2): LC_ALL, LC_MESSAGES, LANG. */
function languageOf({ env }: Printer): string | null {
  const locale = [env.LC_ALL, env.LC_MESSAGES, env.LANG].find((one) => one !== undefined && one !== '') ?? '';
  return /^([a-z]{2,3})(?=[_.@-]|$)/.exec(locale)?.[1] ?? null;
}

async function portsOf(port: string | undefined, signal: AbortSignal): Promise<BenchFacts['ports']> {
  if (port === simulatedPort) return [{ path: simulatedPort, code: null, what: 'the emulated probe', help: '' }];
  const listed = await listPorts();
  const bare = { vendorId: null, productId: null, serialNumber: null, manufacturer: null, twin: null };
  const ports = port === undefined ? listed : [listed.find(({ path }) => path === port) ?? { path: port, ...bare }];
  return (await findProbes({ ports, signal })).map((finding) =>
    finding.state === 'probe'
      ? { path: finding.port.path, code: null, what: 'a probe answers', help: '' }
      : { path: finding.port.path, code: finding.code, what: finding.why, help: finding.help },
  );
}

/** Groups that own serial ports on the usual distributions: common practice, no source. */
const usualGroups = ['dialout', 'uucp'];

async function portGroups(): Promise<BenchFacts['portGroups']> {
  const text = await readForeignText('/etc/group', 'settings').catch(() => '');
  const own = process.getgroups?.() ?? [];
  return text.split('\n').flatMap((line) => {
    const [name = '', , gid = ''] = line.split(':');
    return usualGroups.includes(name) ? [{ name, isMember: own.includes(Number(gid)) }] : [];
  });
}

async function keyFacts(terminal: Printer): Promise<BenchFacts['key']> {
  const path = benchKeyPath(terminal);
  if (!(await exists(path))) return { path, isThere: false, problem: null };
  try {
    openBenchKey(path);
    benchSecret(path);
    return { path, isThere: true, problem: null };
  } catch (error) {
    return { path, isThere: true, problem: error instanceof Error ? error.message : errnoWords(error) };
  }
}

/** What opens a page: the person's BROWSER, else what the system opens files with. */
async function browserOf({ env }: Printer): Promise<string | null> {
  if ((env.BROWSER ?? '') !== '') return env.BROWSER!;
  if (process.platform === 'win32') return 'start';
  if (process.platform === 'darwin') return 'open';
  return (await anyThere((env.PATH ?? '').split(delimiter), 'xdg-open')) ? 'xdg-open' : null;
}

async function anyThere(folders: readonly string[], name: string): Promise<boolean> {
  for (const folder of folders) if (folder !== '' && (await exists(join(folder, name)))) return true;
  return false;
}
