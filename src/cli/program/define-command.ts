import type { Command } from 'commander';
import type { ZodType } from 'zod';
import type { Context } from './context.ts';
import { fallbacksOf, type OptionsOf, type OptionTable } from './option-kinds.ts';

/**
 * An argument of a command as it stands in the help (`<file>`, `[file]`, `<files...>`,
 * `[files...]`), and what it is.
 */
export type Argument = readonly [form: string, about: string];

type ValueOf<Form extends string> = Form extends `${string}...${string}`
  ? string[]
  : Form extends `[${string}`
    ? string | undefined
    : string;

type ValuesOf<Arguments extends readonly Argument[]> = { [I in keyof Arguments]: ValueOf<Arguments[I][0]> };

/**
 * What a command does: it is given its arguments, all of its options, and the context; it returns
 * the exit code.
 */
export type CommandBody<Arguments extends readonly Argument[], Options extends OptionTable> = (
  ...given: [...ValuesOf<Arguments>, OptionsOf<Options>, Context]
) => Promise<number>;

/** A command as its file declares it. Name and purpose stand in the list of commands. */
export interface CommandDeclaration {
  /** Adds arguments, options, example and action to a command. */
  fill(command: Command, context: Context, setExit: (code: number) => void): void;
  /** Loads the form of each line that it prints with `--json`; absent: it has no `--json`. */
  prints?: () => Promise<ZodType>;
}

/**
 * Declares a command.
 *
 * @param example a command line that works, without the program's name
 * @param prints loads the form of what `--json` prints; `ohmwright schema` publishes it
 * @param load loads the body; only a command that runs loads it
 */
export function defineCommand<const Arguments extends readonly Argument[], Options extends OptionTable>(declared: {
  example: string;
  takes?: Arguments;
  options: Options;
  prints?: () => Promise<ZodType>;
  load(): Promise<CommandBody<Arguments, Options>>;
}): CommandDeclaration {
  const { example, takes = [], options, prints } = declared;
  return {
    ...(prints !== undefined && { prints }),
    fill(command, context, setExit) {
      for (const [form, about] of takes) command.argument(form, about);
      for (const [key, kind] of Object.entries(options)) {
        command.addOption(kind.build(kebab(key)));
        if (kind.before !== undefined) command.addOption(kind.before.kind.build(kind.before.name).hideHelp());
      }
      withExample(command, example);
      command.action(async (...given: unknown[]) => {
        const said = { ...command.opts(), ...saidByOldNames(command, options) };
        const all = { ...fallbacksOf(options), ...said, ...(await settled(command, options, context)) };
        const body = (await declared.load()) as (...args: unknown[]) => Promise<number>;
        context.signal.throwIfAborted();
        setExit(await body(...given.slice(0, takes.length), all, context));
      });
    },
  };
}

/** Returns the values of options that were given by the name that they had before. */
function saidByOldNames(command: Command, options: OptionTable): Record<string, unknown> {
  const isSaid = (key: string): boolean => command.getOptionValueSource(key) === 'cli';
  return Object.fromEntries(
    Object.entries(options).flatMap(([key, { before }]) =>
      before !== undefined && isSaid(before.name) && !isSaid(key)
        ? [[key, command.getOptionValue(before.name) as unknown]]
        : [],
    ),
  );
}

/** Ends the help of a command with a command line that works. */
export function withExample(command: Command, example: string): Command {
  return command.addHelpText('after', `\nExample:\n  ohmwright ${example}\n`);
}

/**
 * Returns what the settings say of options that were left out. Settings that can't be used are
 * said, and keep no command from its work.
 */
async function settled(
  command: Command,
  options: OptionTable,
  { terminal }: Context,
): Promise<Record<string, unknown>> {
  const asked = Object.entries(options).flatMap(([key, { setting }]) =>
    setting === undefined ? [] : [{ key, setting }],
  );
  if (asked.length === 0) return {};
  const { loadSettings } = await import('../settings/load-settings.ts');
  const settings = await loadSettings(terminal, command.opts().jobs as string | undefined);
  for (const problem of settings.problems) terminal.say(problem);
  const left = asked.filter(({ key }) => command.getOptionValueSource(key) !== 'cli');
  const said = left.map(({ key, setting }) => [key, settings.get(setting)] as const);
  return Object.fromEntries(said.filter(([, value]) => value !== undefined));
}

function kebab(key: string): string {
  return key.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}
