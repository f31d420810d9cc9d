// Runs once for every test file: several files share a process, and each leaves it as it found it.
import { afterAll } from 'vitest';
import { removeScratch } from './scratch.ts';

afterAll(removeScratch);
