import { commandList } from '../../src/cli/program/command-list.ts';

/**
 * Returns how lines of data depart from the form that the called command publishes for `--json`; none
 * where no JSON was asked for. So every test that reads JSON holds the published form too.
 */
export async function departuresFromForm(args: readonly string[], lines: readonly string[]): Promise<string[]> {
  if (!args.includes('--json')) return [];
  const called = commandList
    .filter(({ name }) => name.split(' ').every((word, at) => args[at] === word))
    .sort((a, b) => b.name.length - a.name.length)[0];
  const prints = (await called?.load?.())?.default.prints;
  if (prints === undefined) return lines.length === 0 ? [] : [`${args.join(' ')}: there is no form of its JSON`];
  const form = await prints();
  return lines.flatMap((line) => {
    const found = form.safeParse(JSON.parse(line));
    return found.success ? [] : [`${called!.name} --json is not as published: ${found.error.message}`];
  });
}
