import { firstRules } from './first-rules.ts';
import type { IsolationRules } from './isolation-rules.ts';
import { secondRules } from './second-rules.ts';

/**
 * The rules by their numbers. A set that a record may name never changes: what changes gets the
 * next number.
 */
export const isolationRules: Readonly<Record<number, IsolationRules>> = { 1: firstRules, 2: secondRules };

/** The rules of new jobs. */
export const currentIsolationRules = secondRules;
