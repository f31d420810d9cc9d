import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { didYouMean } from '../../guide/file/near.ts';
import { publishedSchema } from '../outputs/published-schema.ts';
import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';

/** `schema`: prints the JSON Schema of what a command prints with `--json`, or lists those commands. */
export async function schema(words: string[], _options: object, { terminal, forms }: Context): Promise<number> {
  const all = (await forms?.()) ?? [];
  const asked = words.join(' ');
  const names = all.map(({ command }) => command);
  if (asked === '') {
    for (const name of names) terminal.out(name);
    return exitCodes.passed;
  }
  const found = all.find(({ command }) => command === asked);
  if (found === undefined) {
    throw new OhmwrightError('usage.schema', `No command '${asked}' has --json${didYouMean(asked, names)}`, {
      help: 'See `ohmwright schema` for those that have.',
    });
  }
  terminal.document(`${JSON.stringify(publishedSchema(asked, found.form), null, 2)}\n`);
  return exitCodes.passed;
}
