// Runs once for every test file: several files share a process, and each leaves it as it found it.
import { afterAll } from 'vitest';
import { loadTsx } from './load-tsx.ts';
import { removeScratch } from './scratch.ts';

afterAll(removeScratch);

loadTsx();

/** Libraries look at these to tell a browser from Node.js, so what one test's library sets would mislead the next. */
const ofBrowsers = ['window', 'self', 'document', 'Worker'] as const;
const before = ofBrowsers.map((name) => Object.getOwnPropertyDescriptor(globalThis, name));

afterAll(() => {
  ofBrowsers.forEach((name, at) => {
    const was = before[at];
    if (was === undefined) Reflect.deleteProperty(globalThis, name);
    else Object.defineProperty(globalThis, name, was);
  });
});
