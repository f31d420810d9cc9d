import { z } from 'zod';
import type { CheckKinds } from '../check-kind.ts';
import { guideFileSchema } from './file-schema.ts';

/**
 * Returns the JSON Schema (2020-12) of a guide file with these kinds of check, as it is published
 * in `guide.schema.json`: what may stand in the YAML.
 */
export function guideSchemaText(kinds: CheckKinds): string {
  return `${JSON.stringify(z.toJSONSchema(guideFileSchema(kinds), { io: 'input', target: 'draft-2020-12' }), null, 2)}\n`;
}
