// Guides for tests: the project's own example, and a small circuit of an invented device.
import { readFileSync } from 'node:fs';
import { parseGuide } from '../../../src/checks/guides.ts';
import type { Guide } from '../../../src/guide/types.ts';

function parsed(text: string, name: string): Guide {
  const result = parseGuide(text, name);
  if (!result.ok) throw new Error(`${name}: ${result.problems.map((problem) => problem.what).join('; ')}`);
  return result.guide;
}

const exampleUrl = new URL('../../../examples/field-recorder.yaml', import.meta.url);

export const recorderGuide = (): Guide => parsed(readFileSync(exampleUrl, 'utf8'), 'field-recorder.yaml');
