import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { didYouMean } from '../../guide/file/near.ts';
import { publishedSchema } from '../outputs/published-schema.ts';
import { commandList } from '../program/command-list.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';

/** `schema`: prints the JSON Schema of what a command prints with `--json`, or lists those commands. */
export async function schema(words: string[], _options: object, { terminal }: Context): Promise<number> {
  const printing: string[] = [];
  for (const { name, load } of commandList) {
    const prints = (await load?.())?.default.prints;
    if (prints === undefined) continue;
    printing.push(name);
    if (name !== words.join(' ')) continue;
    terminal.document(`${JSON.stringify(publishedSchema(name, await prints()), null, 2)}\n`);
    return exitCodes.passed;
  }
  if (words.length > 0) {
    const asked = words.join(' ');
    throw new OhmwrightError('usage.schema', `No command '${asked}' has --json${didYouMean(asked, printing)}`, {
      help: 'See `ohmwright schema` for those that have.',
    });
  }
  for (const name of printing) terminal.out(name);
  return exitCodes.passed;
}
