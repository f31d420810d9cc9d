// Runs once for every test file: several files share a process, and each leaves it as it found it.
import { afterAll } from 'vitest';
import { loadTsx } from './load-tsx.ts';
import { removeScratch } from './scratch.ts';

afterAll(removeScratch);

loadTsx();
