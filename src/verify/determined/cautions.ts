import type { Guide } from '../../guide/types.ts';
import type { RecordLine } from '../../record/chain/parse-record.ts';
import { rulesFrom } from '../../record/entries/rules.ts';
import { isAttempt } from '../../record/kinds/stored-kinds.ts';
import type { Say } from '../finding.ts';
import { ruleSetOf } from '../rules.ts';

/**
 * Tells where something was measured before every caution of the guide had been acknowledged, since
 * the job was opened or added to. It is told once a span.
 */
export function verifyCautions(lines: readonly RecordLine[], guide: Guide, sayAt: (line: RecordLine) => Say): void {
  let due = new Map(guide.cautions.map(({ id, title }) => [id, title]));
  let rules = 1;
  for (const line of lines) {
    const { entry } = line;
    rules = rulesFrom(entry) ?? rules;
    if (entry.kind === 'addendum') due = new Map(guide.cautions.map(({ id, title }) => [id, title]));
    if (entry.kind === 'caution') due.delete(entry.id);
    if (due.size === 0 || !(entry.kind === 'proof' || isAttempt(entry))) continue;
    if (ruleSetOf(rules)?.cautionsFirst === true)
      sayAt(line)(
        'flow.caution',
        `it was measured before these cautions were acknowledged: ${[...due.keys()].join(', ')}`,
      );
    due.clear();
  }
}
