import { askedOf } from '../../checks/registry.ts';
import type { Guide } from '../../guide/types.ts';
import { canonicalJson } from '../../record/chain/canonical.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { entryKindOf, isAttempt } from '../../record/kinds/stored-kinds.ts';
import type { Say } from '../finding.ts';

/**
 * Tells where an entry is of something that the guide in its record does not have, or has
 * otherwise: a check, the numbers by which it is judged, a caution, a repair.
 */
export function verifyAsked(entry: Entry, guide: Guide, say: Say): void {
  switch (entry.kind) {
    case 'caution': {
      const caution = guide.cautions.find(({ id }) => id === entry.id);
      if (caution === undefined) say('guide.caution', `the guide has no caution '${entry.id}'`);
      else if (caution.text !== entry.text)
        say('guide.caution', `caution ${entry.id} has another text in the guide`, {
          stands: entry.text,
          due: caution.text,
        });
      return;
    }
    case 'repair':
      verifyRepair(entry.repair, entry.unit, guide, say);
      return;
    default:
      if ('check' in entry && entry.check !== null) verifyCheck(entry, entry.check, guide, say);
  }
}

function verifyRepair(repair: string | null, unit: string | null, guide: Guide, say: Say): void {
  if ((repair === null) === (unit === null)) say('guide.repair', 'it names neither a repair nor a unit, or both');
  if (repair !== null && !guide.repairs.some(({ id }) => id === repair))
    say('guide.repair', `the guide has no repair '${repair}'`);
  if (unit !== null && !guide.units.some(({ id }) => id === unit))
    say('guide.repair', `the guide has no unit '${unit}'`);
}

function verifyCheck(entry: Entry, id: string, guide: Guide, say: Say): void {
  const check = guide.checks.find((one) => one.id === id);
  if (check === undefined) {
    say('guide.check', `the guide has no check '${id}'`);
    return;
  }
  if (!isAttempt(entry)) return;
  if (entryKindOf(check.kind) !== entry.kind) {
    say('guide.check', `${id} is a check of another kind in the guide (${check.kind})`, {
      stands: entry.kind,
      due: entryKindOf(check.kind),
    });
    return;
  }
  for (const [name, due] of Object.entries(askedOf(check, guide.rule))) {
    const stands = (entry as unknown as Record<string, unknown>)[name];
    if (canonicalJson(stands) === canonicalJson(due)) continue;
    if (name === 'limits' || name === 'rule')
      say('evidence.limits', `${id} was judged by other ${name === 'rule' ? 'rules' : name} than the guide's`, {
        stands,
        due,
      });
    else say('guide.asked', `${id}: ${name} is ${shown(stands)}, the guide asks for ${shown(due)}`, { stands, due });
  }
}

function shown(value: unknown): string {
  return typeof value === 'string' ? `'${value}'` : String(value);
}
