import { writeFileSync } from 'node:fs';
import { checkKinds } from '../../checks/registry.ts';
import { guideSchemaText } from '../../guide/file/json-schema.ts';

/** Writes the published schema of guide files: `node src/cli/guides/write-schema.ts`. */
writeFileSync(new URL('../../guide/file/guide.schema.json', import.meta.url), guideSchemaText(checkKinds));
