import { createInterface } from 'node:readline';
import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { readForeignText } from '../../files/read-file.ts';
import { loadGuide } from '../../guide/file/load.ts';
import { makeSimulator } from '../job/simulator.ts';
import { type Context, whenStopped } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { SimOptions } from './sim-command.ts';

/**
 * `sim`: serves the emulated probe on a pseudo-terminal; its path is the first line on stdout. Ends
 * on an interrupt, or on `quit`.
 */
export async function sim(options: SimOptions, { terminal, signal }: Context): Promise<number> {
  const { guide } = await loadGuide(options.guide, checkKinds);
  const { parseScript, parseScriptLine, scriptHelp, servePty } = await import('../../../sim/index.ts');
  const { probe, hands, names } = await makeSimulator(guide, options);
  const script = options.script === undefined ? null : await readForeignText(options.script, 'script');
  const parsed = script === null ? null : parseScript(script, names);
  if (parsed?.ok === false) {
    const lines = parsed.problems.map((p) => `${options.script}:${p.line}: ${p.what}. ${p.help}`);
    throw new OhmwrightError('sim.script', lines);
  }
  const served = await servePty({ probe, ...(options.link === undefined ? {} : { stablePath: options.link }) });
  terminal.out(served.path);
  terminal.say(`hands take: ${scriptHelp.map((line) => line.split('  ')[0]).join('; ')}; unplug; plug; quit`);
  if (parsed?.ok === true) hands.perform(parsed.moves, () => terminal.say('the script is done'));
  const ended = new Promise<void>((resolve) => {
    whenStopped(signal, resolve);
    const lines = createInterface({ input: terminal.stdin, terminal: false });
    lines.on('line', (line) => {
      const word = line.trim();
      if (word === 'quit') resolve();
      else if (word === 'unplug') served.unplug();
      else if (word === 'plug') {
        served.plugIn();
        terminal.out(served.path);
      } else if (word === 'help') for (const text of scriptHelp) terminal.say(text);
      else {
        const move = parseScriptLine(line, 1, names);
        if (!move.ok) terminal.say(`${move.problem.what}. ${move.problem.help}`);
        else if (move.move !== null) hands.perform([move.move], () => terminal.out(`done: ${word}`));
      }
    });
  });
  await ended;
  terminal.stdin.pause();
  await served.close();
  return exitCodes.passed;
}
