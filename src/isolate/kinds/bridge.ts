import { meterOhm } from '../../checks/circuit-reading.ts';
import type { EvidenceOf } from '../../checks/evidence.ts';
import type { BridgeCheck, Guide } from '../../guide/types.ts';
import { spreadCdf } from '../belief/outcome-density.ts';
import type { Frame, Seen } from '../belief/seen.ts';
import type { Finding } from '../predict/circuit-variant.ts';
import type { ChannelCell } from '../suspects/scale.ts';
import { altered } from './altered.ts';
import type { KindModel } from './kind-model.ts';
import { isOpposite } from './opposite-answers.ts';
import { addPieces, blur, type OutcomeClass, type OutcomeSplit, passClass, pieces } from './outcome-pieces.ts';

/** A closure on the live device: its idle voltage, and the device's answer. */
export const bridgeModel: KindModel<'bridge'> = {
  takes: "the device's response to a proven closure",
  touches: true,
  channels(guide, { pads, pressed, access, input }, { circuit }) {
    const finding: Finding = { power: 'on', pressed, access };
    const node = guide.inputs.find(({ id }) => id === input)!.node;
    const at = { quantity: 'volt', level: 'normal' } as const;
    const closed: Finding = { ...finding, closure: { pads, ohm: circuit.closureOhm } };
    return [
      { ...at, name: 'idle', finding, between: pads, meterOhm },
      { ...at, name: 'before', finding, between: [node, null] },
      { ...at, name: 'during', finding: closed, between: [node, null] },
    ];
  },
  measured: ({ idle }) => (idle === null ? [] : [idle]),
  isMute: saysNothing,
  isSpoken: ({ proven, answer }) => proven && answer !== 'unsure',
  contradicts: (a, b) => a.proven && b.proven && isOpposite(a.answer, b.answer),
  likelihood: responseLikelihood,
  chance({ guide }, { idle, answer, proven }, density) {
    const atRest = idle === null ? 1 : density('volt', idle);
    return answer === 'unsure' || !proven ? atRest : 0.5 * atRest * (1 - guide.wrongPad);
  },
  split: bridgeSplit,
  words(_check, { proven, answer }) {
    if (!proven) return 'was never shown to conduct';
    if (answer === 'unsure') return 'conducted, but what the device did was not seen';
    return answer === 'yes' ? 'conducted, and the device responded' : 'conducted, and the device did nothing';
  },
};

/**
 * Returns whether a bridge says nothing: its closure was not proven. Only an idle voltage outside
 * its limits, for which the bridge was not closed at all, is a voltage like any other.
 */
function saysNothing(check: BridgeCheck, evidence: EvidenceOf<'bridge'>): boolean {
  if (evidence.proven) return false;
  const { idle } = evidence;
  if (idle === null || idle.state !== 'in-range') return true;
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = check.idle;
  return idle.value >= min && idle.value <= max;
}

function responseLikelihood(
  frame: Frame,
  check: BridgeCheck,
  { proven, idle, answer }: EvidenceOf<'bridge'>,
  { cells, isMute = false }: Seen,
): number {
  const atRest =
    idle === null
      ? 1
      : altered(frame.rules.touch, check.idle, 'volt', cells[0]!, idle, frame.rules.touch.badMoments, 0);
  if (!proven || answer === 'unsure') return atRest;
  const yes = answerYes(frame.guide, isMute ? 0 : responds(frame, check.input, cells));
  return atRest * (answer === 'yes' ? yes : 1 - yes);
}

/** Returns the chance that a device is said to have responded. */
function answerYes({ eyes }: Guide, respondsChance: number): number {
  return respondsChance * (1 - eyes.falseAlarm) + (1 - respondsChance) * eyes.miss;
}

/** Returns the chance that a closure makes the input respond, which it did not before. */
function responds({ guide, rules }: Frame, inputId: string, [, before, during]: readonly ChannelCell[]): number {
  const { badMoments } = rules.touch;
  const input = guide.inputs.find((one) => one.id === inputId);
  if (input === undefined || before === undefined || during === undefined) return 0;
  const below = (cell: ChannelCell): number => {
    const usual = spreadCdf(cell, input.belowVolt, cell.sigma);
    if (Number.isNaN(cell.alt)) return usual;
    const bad = spreadCdf({ low: cell.alt, high: cell.alt }, input.belowVolt, cell.sigma);
    return (1 - badMoments) * usual + badMoments * bad;
  };
  return below(during) * (1 - below(before));
}

function bridgeSplit(frame: Frame, check: BridgeCheck): OutcomeSplit {
  const { guide, rules } = frame;
  const { touch } = rules;
  const { classes, edges } = pieces('volt', check.idle);
  const outside = classes
    .filter(({ isPass }) => !isPass)
    .map(({ id }): OutcomeClass => ({ id: `idle-${id}`, isPass: false }));
  const scratch = new Float64Array(classes.length);
  return {
    classes: [passClass, { id: 'no-response', isPass: false }, ...outside],
    probabilities({ cells, isMute = false }, into) {
      scratch.fill(0);
      addPieces(touch, 'volt', edges, cells[0]!, 1, scratch, 0);
      const yes = answerYes(guide, isMute ? 0 : responds(frame, check.input, cells));
      into.fill(0);
      let at = 2;
      classes.forEach(({ isPass }, k) => {
        if (!isPass) {
          into[at++] = scratch[k]!;
          return;
        }
        into[0]! += scratch[k]! * yes;
        into[1]! += scratch[k]! * (1 - yes);
      });
      blur(guide.wrongPad, into);
    },
  };
}
