import { z } from 'zod';
import { keyMeanings } from './key-meanings.ts';

type JsonSchema = { [key: string]: unknown };

/**
 * Returns the JSON Schema (2020-12) of what a command prints with `--json`, with what each key means.
 * `command`: the words that call it.
 */
export function publishedSchema(command: string, form: z.ZodType): JsonSchema {
  const schema = z.toJSONSchema(form, { io: 'output', reused: 'inline' }) as JsonSchema;
  explain(schema, false);
  return {
    ...schema,
    title: `ohmwright ${command} --json`,
    description: 'Each line on stdout is one of these.',
  };
}

/** Adds its meaning to each key; those of a record are explained by its format. */
function explain(schema: unknown, isOfRecord: boolean): void {
  if (Array.isArray(schema)) for (const one of schema) explain(one, isOfRecord);
  if (schema === null || typeof schema !== 'object' || Array.isArray(schema)) return;
  const node = schema as JsonSchema;
  const inRecord = isOfRecord || node.ofRecord === true;
  delete node.ofRecord;
  for (const [name, of] of Object.entries(node)) {
    if (name === 'properties' && of !== null && typeof of === 'object') {
      for (const [key, property] of Object.entries(of)) {
        explain(property, inRecord);
        const meaning = keyMeanings[key];
        if (!inRecord && meaning !== undefined && (property as JsonSchema).description === undefined)
          (property as JsonSchema).description = meaning;
      }
    } else if (name !== 'enum' && name !== 'const' && name !== 'required') explain(of, inRecord);
  }
}
