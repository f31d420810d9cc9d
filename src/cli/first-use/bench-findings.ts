import { exitCodes } from '../program/exit-codes.ts';

/** What is known of a bench before it is judged. Plain data: another system can be made up. */
export interface BenchFacts {
  platform: NodeJS.Platform;
  node: string;
  /** What was found on each port; `code`: null where a probe answered. */
  ports: readonly { path: string; code: string | null; what: string; help: string }[];
  isRoot: boolean;
  /** The udev rule lies where the system reads it. */
  hasUdevRule: boolean;
  /** Path of the rule that comes with the program. */
  udevRule: string;
  /** Groups that own serial ports on this system, and whether this user is in each. */
  portGroups: readonly { name: string; isMember: boolean }[];
  hasUnicode: boolean;
  /** Language that the locale asks for, two letters; null: none. */
  language: string | null;
  /** Null: no person sits at a terminal. */
  screen: { cols: number; rows: number } | null;
  /** What keeps the key from being used; null: nothing. */
  key: { path: string; isThere: boolean; problem: string | null };
  jobs: { folder: string; problem: string | null };
  settingProblems: readonly string[];
  /** What would show a report; null: nothing was found. */
  browser: string | null;
}

/** One thing that was looked at. `mend`: the one command that mends it, or what to do. */
export interface BenchFinding {
  what:
    | 'node'
    | 'port'
    | 'udev'
    | 'group'
    | 'locale'
    | 'language'
    | 'terminal'
    | 'key'
    | 'jobs'
    | 'settings'
    | 'browser';
  /** `note`: work goes on without it. */
  state: 'good' | 'note' | 'wrong';
  text: string;
  mend: string | null;
  exitCode: number;
}

/** The smallest terminal that the live screen is drawn on. */
const least = { cols: 60, rows: 16 };

/** Returns what facts mean for the work at the bench. Pure. */
export function benchFindings(facts: BenchFacts): BenchFinding[] {
  return [
    good('node', `Node.js ${facts.node} on ${facts.platform}`),
    portFinding(facts),
    ...(facts.platform === 'linux' ? [udevFinding(facts), groupFinding(facts)] : []),
    facts.hasUnicode
      ? good('locale', 'the locale says UTF-8')
      : note('locale', 'the locale does not say UTF-8: the screen is drawn in ASCII', localeMend(facts.platform)),
    ...languageFinding(facts),
    terminalFinding(facts),
    keyFinding(facts),
    facts.jobs.problem === null
      ? good('jobs', `records can be written to ${facts.jobs.folder}`)
      : wrong('jobs', facts.jobs.problem, 'ohmwright config set jobs FOLDER', exitCodes.record),
    facts.settingProblems.length === 0
      ? good('settings', 'all settings are understood')
      : wrong('settings', facts.settingProblems.join(' '), 'ohmwright config list', exitCodes.usage),
    facts.browser === null
      ? note('browser', 'no browser was found: a report can still be written, and be looked at elsewhere', null)
      : good('browser', `reports open with ${facts.browser}`),
  ];
}

function portFinding({ ports, platform, udevRule }: BenchFacts): BenchFinding {
  const probe = ports.find(({ code }) => code === null);
  if (probe !== undefined) return good('port', `${probe.path}: ${probe.what}`);
  const forbidden = ports.find(({ code }) => code === 'port.forbidden');
  if (forbidden !== undefined) {
    const mend = platform === 'linux' ? udevMend(udevRule) : forbidden.help;
    return wrong('port', forbidden.what, mend, exitCodes.port);
  }
  const [first] = ports;
  if (first !== undefined) return wrong('port', `${first.path}: ${first.what}`, first.help, exitCodes.port);
  return wrong('port', 'the system lists no serial port', 'Plug the probe in, then: ohmwright probes', exitCodes.port);
}

function udevFinding({ hasUdevRule, isRoot, udevRule }: BenchFacts): BenchFinding {
  if (hasUdevRule) return good('udev', 'the rule for the probe is there');
  const text = 'the rule that lets the person at the desk open the port is not there';
  return note('udev', isRoot ? `${text}; root needs none` : text, isRoot ? null : udevMend(udevRule));
}

function groupFinding({ portGroups, hasUdevRule, isRoot }: BenchFacts): BenchFinding {
  const member = portGroups.find(({ isMember }) => isMember);
  if (member !== undefined) return good('group', `you are in the group ${member.name}`);
  const [first] = portGroups;
  if (isRoot || hasUdevRule || first === undefined) return good('group', 'no group is needed');
  return note(
    'group',
    `you are not in the group ${first.name}, which owns serial ports`,
    `sudo usermod -aG ${first.name} "$USER"`,
  );
}

/** Languages that there are words in. */
const spoken = ['en'];

function languageFinding({ language }: BenchFacts): BenchFinding[] {
  if (language === null || spoken.includes(language)) return [];
  return [note('language', `the locale asks for '${language}', and there are no words in it: English is used`, null)];
}

function terminalFinding({ screen }: BenchFacts): BenchFinding {
  if (screen === null) return note('terminal', 'nobody sits at a terminal: jobs are told in plain lines', null);
  const size = `${screen.cols}x${screen.rows}`;
  if (screen.cols >= least.cols && screen.rows >= least.rows) return good('terminal', `${size} is large enough`);
  return note(
    'terminal',
    `${size}: the live screen needs ${least.cols}x${least.rows}`,
    'Make the window larger, or use --plain',
  );
}

function keyFinding({ key, platform }: BenchFacts): BenchFinding {
  if (key.problem !== null) {
    const mend = platform === 'win32' ? `See to who may read ${key.path}` : `chmod 600 ${key.path}`;
    return wrong(
      'key',
      key.problem,
      key.problem.includes('others') ? mend : 'Put a copy of the key back',
      exitCodes.record,
    );
  }
  return good('key', key.isThere ? `${key.path} can be used` : `it is made on first use: ${key.path}`);
}

function udevMend(rule: string): string {
  return `sudo cp ${rule} /etc/udev/rules.d/ && sudo udevadm control --reload && sudo udevadm trigger`;
}

function localeMend(platform: NodeJS.Platform): string {
  return platform === 'win32' ? 'chcp 65001' : 'export LC_ALL=C.UTF-8';
}

function good(what: BenchFinding['what'], text: string): BenchFinding {
  return { what, state: 'good', text, mend: null, exitCode: exitCodes.passed };
}

function note(what: BenchFinding['what'], text: string, mend: string | null): BenchFinding {
  return { what, state: 'note', text, mend, exitCode: exitCodes.passed };
}

function wrong(what: BenchFinding['what'], text: string, mend: string | null, exitCode: number): BenchFinding {
  return { what, state: 'wrong', text, mend, exitCode };
}
