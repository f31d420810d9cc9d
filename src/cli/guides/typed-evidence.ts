import type { Evidence, Measured } from '../../checks/evidence.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { didYouMean } from '../../guide/file/near.ts';
import { parseQuantity } from '../../guide/file/quantity.ts';
import type { Check, Guide } from '../../guide/types.ts';

/** An open path, as the probe would say it: above the end of its highest range. */
const openReading: Measured = { value: 10e6, u: 0, state: 'above-range' };
/**
 * Standard uncertainty of a number that is typed without one: 1 % and a little, as of a fair hand
 * meter (common practice, no source).
 */
const typedRelative = 0.01;
const typedLeast = { ohm: 0.005, volt: 0.005 };

/**
 * Returns what `--reading` and `--observed` say about the device, in the order of the options.
 *
 * @throws usage.evidence for a check that the guide has not or that is not read so, a value without
 *   sense, a check told twice
 */
export function typedEvidence(guide: Guide, readings: readonly string[], observed: readonly string[]): Evidence[] {
  const all = [
    ...readings.map((text) => readingOf(guide, split(guide, text, '--reading'), text)),
    ...observed.map((text) => observedOf(split(guide, text, '--observed'), text)),
  ];
  const seen = new Set<string>();
  for (const { check } of all) {
    if (seen.has(check)) refuse(`check '${check}' is told twice`, 'Give each check once, with what you trust.');
    seen.add(check);
  }
  return all;
}

function split(guide: Guide, text: string, option: string): { check: Check; value: string } {
  const match = /^\s*([^=\s]+)\s*=\s*(.+?)\s*$/.exec(text);
  if (match === null) refuse(`${option} ${text}: this is no CHECK=VALUE`, `As in ${option} ${example(guide, option)}.`);
  const [, id, value] = match as unknown as [string, string, string];
  const check = guide.checks.find((one) => one.id === id);
  if (check === undefined) {
    const known = guide.checks.map((one) => one.id);
    refuse(`${option} ${text}: the guide has no check '${id}'${didYouMean(id, known)}`, `It has: ${known.join(', ')}.`);
  }
  return { check, value };
}

function readingOf(guide: Guide, { check, value }: { check: Check; value: string }, text: string): Evidence {
  const say = (help: string): never => refuse(`--reading ${text}: '${value}' can't be used for '${check.id}'`, help);
  switch (check.kind) {
    case 'resistance':
    case 'steady':
    case 'voltage': {
      const dimension = check.kind === 'voltage' ? 'volt' : 'ohm';
      const quantity = check.kind === 'voltage' ? 'voltage' : 'resistance';
      const match = /^(.*?)\s*,?\s*(unsteady)?$/i.exec(value)!;
      const unsteady = match[2] !== undefined;
      const reading = unsteady && match[1] === '' ? null : measured(match[1]!, dimension);
      if (reading === undefined) return say(`Write a value with its unit, as ${example(guide, '--reading', check)}.`);
      return { check: check.id, kind: check.kind, quantity, reading, unsteady };
    }
    case 'dry-normal': {
      const parts = value.split(',').map((part) => measured(part.trim(), 'ohm'));
      const [dry, normal] = parts;
      if (parts.length !== 2 || dry === undefined || normal === undefined) {
        return say(`Write both readings, dry first, as ${check.id}=20kohm,1.2ohm.`);
      }
      return { check: check.id, kind: 'dry-normal', dry, normal };
    }
    case 'presses': {
      const match = /^(.*?)(?:\s*,\s*(\d+)\s*bad)?$/.exec(value)!;
      const closed = measured(match[1]!, 'ohm');
      if (closed === undefined)
        return say(`Write the closed resistance and how many were bad, as ${check.id}=1.2ohm,3bad.`);
      const none = closed.state === 'above-range';
      const bad = none ? check.count : Number(match[2] ?? 0);
      if (bad > check.count) return say(`The check has ${check.count} presses.`);
      return { check: check.id, kind: 'presses', closed: none ? null : closed, bad, count: check.count };
    }
    case 'look':
    case 'bridge':
      return say(`It is answered by a person: write --observed ${check.id}=yes or =no.`);
  }
}

function observedOf({ check, value }: { check: Check; value: string }, text: string): Evidence {
  const say = (help: string): never => refuse(`--observed ${text}: '${value}' can't be used for '${check.id}'`, help);
  if (check.kind !== 'look' && check.kind !== 'bridge')
    return say(`It is measured: write --reading ${check.id}=VALUE.`);
  const answer = (['yes', 'no', 'unsure'] as const).find((one) => one === value.toLowerCase());
  if (check.kind === 'look') {
    return answer === undefined ? say('Write yes, no or unsure.') : { check: check.id, kind: 'look', answer };
  }
  if (value.toLowerCase() === 'unproven') {
    return { check: check.id, kind: 'bridge', proven: false, idle: null, answer: 'unsure' };
  }
  return answer === undefined
    ? say('Write yes or no (the closure was proven to conduct, and the device answered or not), unsure, or unproven.')
    : { check: check.id, kind: 'bridge', proven: true, idle: null, answer };
}

/**
 * Returns `0.3ohm`, `0.3ohm+-0.02ohm` (95 %), `open` or `>1Mohm` as a measurement; undefined when
 * it is none.
 */
function measured(text: string, dimension: 'ohm' | 'volt'): Measured | undefined {
  if (dimension === 'ohm' && text.toLowerCase() === 'open') return openReading;
  const beyond = /^>\s*(.+)$/.exec(text);
  if (beyond !== null) {
    const bound = parseQuantity(beyond[1]!, dimension);
    return bound.ok && bound.value > 0 ? { value: bound.value, u: 0, state: 'above-range' } : undefined;
  }
  const [value, expanded, ...more] = text.split(/\+\/?-|±/).map((part) => parseQuantity(part, dimension));
  if (value === undefined || !value.ok || more.length > 0) return undefined;
  if (dimension === 'ohm' && value.value < 0) return undefined;
  if (expanded === undefined) {
    return { value: value.value, u: typedRelative * Math.abs(value.value) + typedLeast[dimension], state: 'in-range' };
  }
  return expanded.ok && expanded.value > 0
    ? { value: value.value, u: expanded.value / 2, state: 'in-range' }
    : undefined;
}

function example(guide: Guide, option: string, check?: Check): string {
  const asked = option === '--observed' ? ['look', 'bridge'] : ['resistance', 'voltage', 'steady'];
  const one = check ?? guide.checks.find(({ kind }) => asked.includes(kind));
  const value = option === '--observed' ? 'yes' : one?.kind === 'voltage' ? '1.8V' : '0.3ohm';
  return `${one?.id ?? 'CHECK'}=${value}`;
}

function refuse(what: string, help: string): never {
  throw new OhmwrightError('usage.evidence', `${what}.`, { help });
}
