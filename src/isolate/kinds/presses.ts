import type { EvidenceOf } from '../../checks/evidence.ts';
import type { PressesCheck } from '../../guide/types.ts';
import { spreadCdf } from '../belief/outcome-density.ts';
import type { Frame } from '../belief/seen.ts';
import type { Channel } from '../predict/channel.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { type ChannelCell, scaleOf } from '../suspects/scale.ts';
import { altered } from './altered.ts';
import type { KindModel } from './kind-model.ts';
import { measuredWords } from './measured-words.ts';
import { blur, type OutcomeSplit, passClass } from './outcome-pieces.ts';
import { betaBinomial, isClosure, outsideChance } from './presses-outcome.ts';

/** Closures of a key that is pressed several times. */
export const pressesModel: KindModel<'presses'> = {
  takes: 'counted presses',
  touches: true,
  channels(_guide, { key, level, pads, access }) {
    const pressing = (name: 'ohm' | 'released', pressed: string[]): Channel => ({
      name,
      quantity: 'ohm',
      finding: { power: 'off', pressed, access },
      level,
      between: pads,
    });
    return [pressing('ohm', [key]), pressing('released', [])];
  },
  measured: ({ closed }) => (closed === null ? [] : [closed]),
  isMute: () => false,
  isSpoken: () => true,
  contradicts: () => false,
  likelihood: ({ rules }, check, evidence, { cells }) => pressesLikelihood(rules, check, evidence, cells),
  chance: (_frame, { count, closed }, density) => (1 / (count + 1)) * (closed === null ? 0.3 : density('ohm', closed)),
  split: pressesSplit,
  words(_check, { bad, count, closed }) {
    const read = closed === null ? '' : `, closed at ${measuredWords(closed, 'resistance')}`;
    return `failed ${bad} of ${count} presses${read}`;
  },
};

/** Presses are reckoned as at most this many: the classes of more are the same. */
const mostPresses = 40;

function pressesLikelihood(
  { touch }: IsolationRules,
  check: PressesCheck,
  evidence: EvidenceOf<'presses'>,
  cells: readonly ChannelCell[],
): number {
  const [closed, released] = cells as [ChannelCell, ChannelCell];
  const { bad, count } = evidence;
  const lettingGo = isClosure(closed, released);
  const never = 1 - lettingGo;
  const outside = Math.max(outsideChance(closed, check.limits), never);
  const counted =
    (1 - outside) *
      betaBinomial(bad, count, touch.badPress + touch.badPressUnsteady * closed.unsteady, touch.badPressWeight) +
    outside * betaBinomial(bad, count, touch.outsideBadPress, touch.outsideBadPressWeight);
  if (evidence.closed === null)
    return Math.max(never, 1 - spreadCdf(closed, scaleOf('ohm', 1e6), closed.sigma)) * counted;
  return (
    lettingGo * altered(touch, check.limits, 'ohm', { ...closed, alt: Number.NaN }, evidence.closed, 0, 0) * counted
  );
}

function pressesSplit({ guide, rules: { touch } }: Frame, check: PressesCheck): OutcomeSplit {
  const count = Math.min(mostPresses, check.count);
  const maxBad = Math.floor((check.maxBad * count) / check.count);
  const most = Math.max(maxBad + 1, Math.ceil(0.9 * count));
  const known = new Map<number, [number, number]>();
  // chances of few and of nearly all bad for a mean in per cent
  const ends = (percent: number, weight: number): [number, number] => {
    const key = percent * 100 + weight;
    let both = known.get(key);
    if (both === undefined) {
      const sum = (from: number, to: number): number => {
        let total = 0;
        for (let k = from; k <= to; k++) total += betaBinomial(k, count, percent / 100, weight);
        return total;
      };
      both = [sum(0, maxBad), sum(most, count)];
      known.set(key, both);
    }
    return both;
  };
  return {
    classes: [passClass, { id: 'some-bad', isPass: false }, { id: 'all-bad', isPass: false }],
    probabilities({ cells }, into) {
      const [closed, released] = cells as [ChannelCell, ChannelCell];
      const outside = Math.max(outsideChance(closed, check.limits), 1 - isClosure(closed, released));
      const inside = ends(
        Math.max(100 * touch.badPress, Math.round(100 * touch.badPressUnsteady * closed.unsteady)),
        touch.badPressWeight,
      );
      const beyond = ends(100 * touch.outsideBadPress, touch.outsideBadPressWeight);
      into[0] = (1 - outside) * inside[0] + outside * beyond[0];
      into[2] = (1 - outside) * inside[1] + outside * beyond[1];
      into[1] = Math.max(0, 1 - into[0]! - into[2]!);
      blur(guide.wrongPad, into);
    },
  };
}
