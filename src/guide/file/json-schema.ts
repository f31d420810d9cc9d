import { z } from 'zod';
import { guideFileSchema } from './file-schema.ts';

/** Returns the JSON Schema (2020-12) of a guide file, as it is published in `guide.schema.json`: what may stand in the YAML. */
export function guideSchemaText(): string {
  return `${JSON.stringify(z.toJSONSchema(guideFileSchema, { io: 'input', target: 'draft-2020-12' }), null, 2)}\n`;
}
