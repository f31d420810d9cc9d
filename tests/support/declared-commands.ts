import { Command, type Option } from 'commander';
import { commandList } from '../../src/cli/program/command-list.ts';

/** One option of one command, as it is declared. */
export interface DeclaredOption {
  command: string;
  /** Name without dashes; of `--no-NAME` the name itself. */
  name: string;
  /** What stands behind it, as `<file>`; empty for a flag. */
  value: string;
  about: string;
  /** The help does not show it: an older spelling. */
  isHidden: boolean;
}

/** One argument of one command, as it is declared. */
export interface DeclaredArgument {
  command: string;
  name: string;
  about: string;
}

/** Returns every option and argument of every command that is declared. */
export async function declaredCommands(): Promise<{
  options: DeclaredOption[];
  takes: DeclaredArgument[];
  commands: string[];
}> {
  const options: DeclaredOption[] = [];
  const takes: DeclaredArgument[] = [];
  const commands: string[] = [];
  for (const { name: command, load } of commandList) {
    if (load === undefined) continue;
    const made = new Command(command);
    (await load()).default.fill(made, undefined as never, () => undefined);
    commands.push(command);
    options.push(...made.options.map((option) => declared(command, option)));
    takes.push(
      ...made.registeredArguments.map((argument) => ({ command, name: argument.name(), about: argument.description })),
    );
  }
  return { options, takes, commands };
}

function declared(command: string, option: Option): DeclaredOption {
  return {
    command,
    name: option.name().replace(/^no-/, ''),
    value: /[<[].*$/.exec(option.flags)?.[0] ?? '',
    about: option.description,
    isHidden: option.hidden,
  };
}
