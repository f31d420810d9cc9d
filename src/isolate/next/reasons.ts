import type { Evidence } from '../../checks/evidence.ts';
import { percent } from '../../statistics/percent.ts';
import { believe, type Repaired } from '../belief/belief.ts';
import { decisionWords, evidenceWords } from '../belief/evidence-words.ts';
import type { Model } from '../predict/model.ts';
import { triesOf } from '../repair/repair-tries.ts';
import { suspectWords } from '../suspects/suspect-words.ts';
import { nothingWrong } from '../suspects/suspects.ts';
import type { Belief, DecisionOption } from '../types.ts';
import { beliefShift } from './belief-shift.ts';

/**
 * Returns why the belief is what it is, one plain sentence for each piece of evidence that changed
 * it: which reading, on which pads, ruled what out and what it leaves; then what is likeliest
 * within the leading decision, and what doubt there is.
 *
 * Evidence is weighed in its order, each against what was believed before it; what was seen after a
 * repair says after which.
 *
 * @param repaired repairs done, as `believe` was given them
 */
export function reasonsFor(model: Model, belief: Belief, repaired: readonly Repaired[] = []): string[] {
  const sentences: string[] = [];
  // a repair right behind a piece of evidence is none of what that piece says
  const upTo = (count: number, at: number): Belief | null => {
    const done = repaired.filter(({ after = belief.evidence.length }) => after <= at);
    const told = believe(model, belief.evidence.slice(0, count), done);
    return 'decisions' in told ? told : null;
  };
  belief.evidence.forEach((evidence, at) => {
    const [before, after] = [upTo(at, at), upTo(at + 1, at)];
    if (before !== null && after !== null) {
      const sentence = sentenceOf(model, evidence, before, after);
      if (sentence !== null) sentences.push(`${behindWords(model, repaired, at)}${sentence}`);
    }
  });
  const likeliest = likeliestWords(model, belief);
  if (likeliest !== null) sentences.push(likeliest);
  if (belief.doubt !== null) sentences.push(belief.doubt);
  return sentences;
}

function sentenceOf({ guide }: Model, evidence: Evidence, before: Belief, after: Belief): string | null {
  if (evidence.kind === 'bridge' && !evidence.proven) {
    return `${evidenceWords(guide, evidence)}, so what the device did proves nothing.`;
  }
  const { out, against, up, isAll } = beliefShift(before, after);
  const shareBefore = new Map(before.decisions.map(({ id, p }) => [id, p]));
  const named = (those: string[]): DecisionOption[] =>
    after.decisions
      .filter(({ id }) => those.includes(id))
      .sort((a, b) => shareBefore.get(b.id)! - shareBefore.get(a.id)!);
  const said = (verb: string, those: string[]): string[] =>
    those.length === 0 ? [] : [`${verb} ${decisionWords(named(those))}`];
  const parts = isAll
    ? said('rules out all but', up)
    : [...said('rules out', out), ...said('speaks against', against), ...said('speaks for', up)];
  if (parts.length === 0) return null;
  const last = parts.pop()!;
  return `${evidenceWords(guide, evidence)}: that ${parts.length === 0 ? last : `${parts.join(', ')}, and ${last}`}.`;
}

/** After which repair something was seen: the last one before it, and which try of it that was. */
function behindWords({ guide }: Model, repaired: readonly Repaired[], at: number): string {
  const before = repaired.filter(({ after = Number.POSITIVE_INFINITY }) => after <= at);
  const last = before.at(-1);
  if (last === undefined) return '';
  if ('unit' in last) return `With another ${guide.units.find(({ id }) => id === last.unit)?.name ?? last.unit}: `;
  const tries = triesOf(last.repair, before);
  const name = guide.repairs.find(({ id }) => id === last.repair)?.name ?? last.repair;
  return `After '${name}'${tries > 1 ? ` (try ${tries})` : ''}: `;
}

/** Within the leading decision: the faults that make up most of it. */
function likeliestWords({ guide, suspects }: Model, belief: Belief): string | null {
  const leading = belief.decisions[0];
  if (leading === undefined || leading.id === nothingWrong || leading.p < 0.5 || belief.evidence.length === 0)
    return null;
  const own = belief.suspects.filter(({ decision }) => decision === leading.id);
  const shown = own.filter(({ p }) => p >= 0.2 * leading.p).slice(0, 3);
  if (shown.length === 0) return null;
  const words = shown.map((one) => `${suspectWords(guide, suspects, one)} (${percent(one.p)})`);
  return `The likeliest fault is: ${words.join(', or ')}.`;
}
