import type { Evidence } from '../../checks/evidence.ts';
import { typedKindOf } from '../../checks/registry.ts';
import type { TypedKind } from '../../checks/typed.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { didYouMean } from '../../guide/file/near.ts';
import type { Check, Guide } from '../../guide/types.ts';

type By = TypedKind<'look'>['by'];

/**
 * Returns what `--reading` and `--observed` say about the device, in the order of the options.
 *
 * @throws usage.evidence for a check that the guide has not or that is not read so, a value without
 *   sense, a check told twice
 */
export function typedEvidence(guide: Guide, readings: readonly string[], observed: readonly string[]): Evidence[] {
  const all = [
    ...readings.map((text) => told(guide, text, 'reading')),
    ...observed.map((text) => told(guide, text, 'observed')),
  ];
  const seen = new Set<string>();
  for (const { check } of all) {
    if (seen.has(check)) refuse(`check '${check}' is told twice`, 'Give each check once, with what you trust.');
    seen.add(check);
  }
  return all;
}

function told(guide: Guide, text: string, by: By): Evidence {
  const match = /^\s*([^=\s]+)\s*=\s*(.+?)\s*$/.exec(text);
  if (match === null) refuse(`--${by} ${text}: this is no CHECK=VALUE`, `As in --${by} ${example(guide, by)}.`);
  const [, id, value] = match as unknown as [string, string, string];
  const check = guide.checks.find((one) => one.id === id);
  if (check === undefined) {
    const known = guide.checks.map((one) => one.id);
    refuse(`--${by} ${text}: the guide has no check '${id}'${didYouMean(id, known)}`, `It has: ${known.join(', ')}.`);
  }
  return evidenceFrom(check, by, value, text);
}

function evidenceFrom(check: Check, by: By, value: string, text: string): Evidence {
  const typed = typedKindOf(check);
  const say = (help: string): never => refuse(`--${by} ${text}: '${value}' can't be used for '${check.id}'`, help);
  if (typed.by !== by) {
    return say(
      by === 'reading'
        ? `It is answered by a person: write --observed ${check.id}=yes or =no.`
        : `It is measured: write --reading ${check.id}=VALUE.`,
    );
  }
  const said = typed.read(check, value);
  return typeof said === 'string' ? say(said) : said;
}

function example(guide: Guide, by: By): string {
  const check = guide.checks.find((one) => typedKindOf(one).by === by);
  return check === undefined
    ? `CHECK=${by === 'reading' ? '0.3ohm' : 'yes'}`
    : `${check.id}=${typedKindOf(check).example}`;
}

function refuse(what: string, help: string): never {
  throw new OhmwrightError('usage.evidence', `${what}.`, { help });
}
