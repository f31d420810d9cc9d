import { probeEndOhm } from '../../checks/circuit-reading.ts';
import type { Check, Limits } from '../../guide/types.ts';
import type { IsolationRules } from '../rules.ts';
import { type ChannelCell, scaleOf } from '../suspects/scale.ts';
import { answerYes, type Frame, responds, type Seen, unsteadyChance } from './likelihood.ts';
import { spreadCdf } from './outcome-density.ts';
import { betaBinomial, isClosure, outsideChance } from './presses-outcome.ts';

/** One class of what a check may come to, before it is done. */
export interface OutcomeClass {
  id: string;
  /** The check passes in this class. */
  isPass: boolean;
}

/** The classes of a check, and how probable each is under a hypothesis. */
export interface OutcomeSplit {
  classes: OutcomeClass[];
  /** Writes the probability of each class into `into`; they sum to 1. */
  probabilities(seen: Seen, into: Float64Array): void;
}

/** What a calibrated probe adds to a prediction's width: relative for ohms, volt for volts. */
const expectedSigma = { ohm: 0.02, volt: 0.015 } as const;
/** Presses are reckoned as at most this many: the classes of more are the same. */
const mostPresses = 40;

/**
 * Returns the classes of outcome of a check. Unsure answers, closures that are not proven and
 * touches not taken are none: they say nothing.
 */
export function outcomeSplit(frame: Frame, check: Check): OutcomeSplit {
  const split = splitOf(frame, check);
  const { anyShows } = frame.rules.unknown;
  return {
    classes: split.classes,
    probabilities(seen, into) {
      split.probabilities(seen, into);
      if (seen.isAny !== true || check.kind === 'look') return;
      for (let k = 0; k < into.length; k++) into[k] = (1 - anyShows) * into[k]! + anyShows / into.length;
    },
  };
}

function splitOf(frame: Frame, check: Check): OutcomeSplit {
  const { guide } = frame;
  switch (check.kind) {
    case 'resistance':
    case 'voltage':
    case 'steady':
      return readingSplit(frame, check);
    case 'dry-normal':
      return levelsSplit(frame, check);
    case 'presses':
      return pressesSplit(frame, check);
    case 'look':
      return {
        classes: [passClass, { id: 'fail', isPass: false }],
        probabilities({ isSeen }, into) {
          into[0] = isSeen ? guide.eyes.miss : 1 - guide.eyes.falseAlarm;
          into[1] = 1 - into[0]!;
        },
      };
    case 'bridge':
      return bridgeSplit(frame, check);
  }
}

const passClass: OutcomeClass = { id: 'pass', isPass: true };

/** Limits and what divides beyond them, as pieces of the scale from low to high. */
interface Pieces {
  classes: OutcomeClass[];
  /** Between the pieces: one less than there are. */
  edges: number[];
}

function pieces(quantity: 'ohm' | 'volt', { min, max }: Limits): Pieces {
  const wanted =
    quantity === 'volt'
      ? [min, max, ...(min !== undefined && min > 0 ? [min / 2] : [])]
      : [
          min,
          max,
          probeEndOhm,
          ...(min === undefined ? [] : [min / 100]),
          ...(max === undefined ? [] : [max * 10, max * 1000]),
        ];
  const values = [...new Set(wanted)]
    .filter(
      (value): value is number => value !== undefined && (quantity === 'volt' || (value > 0 && value <= probeEndOhm)),
    )
    .sort((a, b) => a - b);
  const classes = [...values, Number.POSITIVE_INFINITY].map((end, k): OutcomeClass => {
    const start = k === 0 ? Number.NEGATIVE_INFINITY : values[k - 1]!;
    const isPass = (min === undefined || start >= min) && (max === undefined || end <= max);
    if (isPass && start === probeEndOhm) return { id: 'pass-open', isPass };
    if (isPass) return { id: k === 0 || min !== undefined ? 'pass' : `pass-${k}`, isPass };
    if (quantity === 'ohm' && start === probeEndOhm) return { id: 'open', isPass };
    return { id: max !== undefined && start >= max ? `high-${k}` : `low-${k}`, isPass };
  });
  return { classes, edges: values.map((value) => scaleOf(quantity, value)) };
}

/** Writes the chance of each piece, alternating moments included, from `at` on, times `share`. */
function addPieces(
  touch: IsolationRules['touch'],
  quantity: 'ohm' | 'volt',
  edges: readonly number[],
  cell: ChannelCell,
  share: number,
  into: Float64Array,
  at: number,
): void {
  const sigma = Math.hypot(cell.sigma, expectedSigma[quantity]);
  let before = 0;
  for (let k = 0; k <= edges.length; k++) {
    const until = k === edges.length ? 1 : below(touch, cell, edges[k]!, sigma);
    into[at + k]! += share * Math.max(0, until - before);
    before = until;
  }
}

function below({ badMoments }: IsolationRules['touch'], cell: ChannelCell, edge: number, sigma: number): number {
  const usual = spreadCdf(cell, edge, sigma);
  if (Number.isNaN(cell.alt)) return usual;
  return (1 - badMoments) * usual + badMoments * spreadCdf({ low: cell.alt, high: cell.alt }, edge, sigma);
}

/** On wrong pads any class is as probable as any other. */
function blur(wrongPad: number, into: Float64Array): void {
  for (let k = 0; k < into.length; k++) into[k] = (1 - wrongPad) * into[k]! + wrongPad / into.length;
}

function readingSplit({ guide, rules: { touch } }: Frame, check: Check & { limits: Limits }): OutcomeSplit {
  const quantity = check.kind === 'voltage' ? 'volt' : 'ohm';
  const { classes, edges } = pieces(quantity, check.limits);
  return {
    classes: [{ id: 'unsteady', isPass: false }, ...classes],
    probabilities({ cells }, into) {
      const p = unsteadyChance(touch, check, cells[0]!);
      into.fill(0);
      into[0] = p;
      addPieces(touch, quantity, edges, cells[0]!, 1 - p, into, 1);
      blur(guide.wrongPad, into);
    },
  };
}

function levelsSplit({ guide, rules: { touch } }: Frame, check: Check & { kind: 'dry-normal' }): OutcomeSplit {
  const { classes, edges } = pieces('ohm', check.limits);
  const count = classes.length;
  const film = classes.map(({ id }): OutcomeClass => ({ id: `film-${id}`, isPass: false }));
  return {
    classes: [...classes, ...film],
    probabilities({ cells }, into) {
      const [normal, dry] = cells as [ChannelCell, ChannelCell];
      into.fill(0);
      const middle = (normal.low + normal.high) / 2 + Math.log(check.factor);
      const isSame = Math.abs(normal.low - dry.low) < 1e-6 && Math.abs(normal.high - dry.high) < 1e-6;
      const pFilm = isSame ? 0.001 : 1 - spreadCdf(dry, middle, Math.hypot(dry.sigma, normal.sigma));
      addPieces(touch, 'ohm', edges, normal, 1 - pFilm, into, 0);
      addPieces(touch, 'ohm', edges, normal, pFilm, into, count);
      blur(guide.wrongPad, into);
    },
  };
}

function pressesSplit({ guide, rules: { touch } }: Frame, check: Check & { kind: 'presses' }): OutcomeSplit {
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

function bridgeSplit(frame: Frame, check: Check & { kind: 'bridge' }): OutcomeSplit {
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
