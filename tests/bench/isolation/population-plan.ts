import { fileURLToPath } from 'node:url';

/** The guides whose devices make up the population, in turn. */
export const populationGuides = ['field-recorder', 'two-stage-key', 'membrane-keypad'] as const;

export function guidePath(name: string): string {
  return fileURLToPath(new URL(`../../../examples/${name}.yaml`, import.meta.url));
}

/** For every so many faulty devices there is a healthy one; no multiple of the guides' number, so that each guide has its share. */
export const healthyEvery = 2;
/** Every so many faulty devices are gone through in the guide's order as well. */
export const inGuideOrderEvery = 10;
