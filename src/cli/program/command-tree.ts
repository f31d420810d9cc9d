import { Command, Help } from 'commander';
import { programHelp, purpose } from '../start-up/program-help.ts';
import { commandList } from './command-list.ts';
import type { Context, PrintedForm } from './context.ts';
import { withExample } from './define-command.ts';
import { printLines } from './printer.ts';
import { toolVersion } from './tool-name.ts';

/** Of a page that goes into a pipe or a file. */
const usualColumns = 80;

/** Loads every declaration: only `schema` asks for that. */
async function forms(): Promise<PrintedForm[]> {
  const found: PrintedForm[] = [];
  for (const { name, load } of commandList) {
    const prints = (await load?.())?.default.prints;
    if (prints !== undefined) found.push({ command: name, form: await prints() });
  }
  return found;
}

/** The command by which a shell asks what may follow, and which prints what makes it ask. */
const completing = 'complete';

/**
 * Returns the command tree. Only the commands that the words may call are declared; of the others
 * it knows name and purpose.
 */
export async function programFor(
  argv: string[],
  surroundings: Context,
  setExit: (code: number) => void,
): Promise<Command> {
  const context = { ...surroundings, forms };
  const { terminal } = context;
  const program = new Command('ohmwright')
    .description(purpose)
    .version(toolVersion)
    .showHelpAfterError('Add --help for the options and an example.')
    .exitOverride()
    // so that a command below another has its own --json: what follows its name is meant for it
    .enablePositionalOptions()
    .configureHelp({
      subcommandTerm: (command) => command.name(),
      formatHelp: (command, help) =>
        command.parent === null
          ? programHelp(help.helpWidth ?? usualColumns)
          : Help.prototype.formatHelp.call(help, command, help),
    })
    .configureOutput({
      writeOut: (text) => printLines(terminal.out, text),
      writeErr: (text) => printLines(terminal.say, text),
    });
  const called = argv.find((word) => word !== 'help' && !word.startsWith('-'));
  for (const { name, about, load, example } of commandList) {
    // the library that completes words declares its own command
    if (name === called && called === completing) continue;
    const [first, second] = name.split(' ') as [string, string?];
    const parent = second === undefined ? program : program.commands.find((one) => one.name() === first)!;
    const command = parent.command(second ?? first).description(about);
    if (example !== undefined) withExample(command, example);
    if ((first === called || called === completing) && load !== undefined)
      (await load()).default.fill(command, context, setExit);
  }
  if (called === completing) {
    const [{ default: complete }, { offeredWords, offerWords }] = await Promise.all([
      import('@bomb.sh/tab/commander'),
      import('../first-use/completion.ts'),
    ]);
    offerWords(complete(program), await offeredWords(argv, terminal));
    const made = program.commands.find((command) => command.name() === completing);
    const example = commandList.find(({ name }) => name === completing)?.example;
    if (made !== undefined && example !== undefined) withExample(made, example);
  }
  return program;
}
