import { writeFileSync } from 'node:fs';
import { guideSchemaText } from './json-schema.ts';

/** Writes the published schema beside this file: `node src/guide/file/write-schema.ts`. */
writeFileSync(new URL('guide.schema.json', import.meta.url), guideSchemaText());
