import { createInterface } from 'node:readline/promises';
import { exists } from '../../files/folder.ts';
import { listPorts } from '../../link/serial/ports.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { jobsFolderOf, userSettingsPath } from '../places/locations.ts';
import type { Context } from '../program/context.ts';
import type { Printer } from '../program/printer.ts';
import { type SettingName, settingTable } from './setting-table.ts';
import { writeSettings } from './settings-file.ts';

/** The settings that matter from the first day on, each with its question and what Enter takes. */
interface Question {
  name: SettingName;
  question: string;
  /** Taken by Enter alone; null: nothing is written. */
  usual: string | null;
}

/**
 * Asks on the first start of a bench for the settings that matter, and keeps them; whoever has a
 * file of settings, or an emulated probe, is asked nothing. `isOnScreen`: a person sits at a
 * terminal.
 *
 * @returns what was told; null when nothing was asked
 */
export async function askOnFirstStart(
  { port, isOnScreen }: { port: string | undefined; isOnScreen: boolean },
  { terminal, signal }: Context,
): Promise<Partial<Record<SettingName, string>> | null> {
  const { env, cwd, screen } = terminal;
  const path = userSettingsPath({ env, cwd });
  const isManaged = (env.OHMWRIGHT_CONFIG ?? '') !== '';
  if (!isOnScreen || screen === null || port === simulatedPort || isManaged || (await exists(path))) return null;
  const typed = createInterface({ input: screen.stdin, output: screen.stdout });
  typed.on('SIGINT', () => terminal.interrupt());
  const told: Partial<Record<SettingName, string>> = {};
  try {
    terminal.say(`This bench has no settings yet. Enter takes what stands in brackets; ${path} keeps the answers.`);
    for (const one of await questions(terminal)) {
      const answer = await answerTo(one, (text) => typed.question(text, { signal }), terminal);
      if (answer !== null) told[one.name] = answer;
    }
  } finally {
    typed.close();
  }
  await writeSettings(path, told, '# Settings of this bench; `ohmwright config list` says what each one means.\n');
  terminal.say('Change them at any time with: ohmwright config set KEY VALUE');
  return told;
}

async function questions(terminal: Printer): Promise<Question[]> {
  const ports = (await listPorts().catch(() => [])).map(({ path }) => path);
  const there = ports.length === 0 ? '' : `, such as ${ports.slice(0, 3).join(', ')}`;
  return [
    { name: 'jobs', question: 'Folder for the job records', usual: jobsFolderOf(undefined, terminal) },
    { name: 'name', question: "The shop's name, for the papers", usual: null },
    { name: 'technician', question: 'Technician, if it is always the same', usual: null },
    { name: 'port', question: `Port of the probe, if it is always the same${there}`, usual: null },
    { name: 'background', question: 'Background of the terminal, dark or light', usual: null },
  ];
}

/** Asks until the setting takes the answer. */
async function answerTo(
  { name, question, usual }: Question,
  ask: (text: string) => Promise<string>,
  terminal: Printer,
): Promise<string | null> {
  const { otherwise, takes, read } = settingTable[name];
  for (;;) {
    const answer = (await ask(`${question} [${usual ?? otherwise}]: `)).trim();
    if (answer === '') return usual;
    if (read(answer) !== null) return answer;
    terminal.say(`It takes ${takes}.`);
  }
}
