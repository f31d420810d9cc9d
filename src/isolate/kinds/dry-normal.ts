import type { EvidenceOf, Measured } from '../../checks/evidence.ts';
import type { DryNormalCheck } from '../../guide/types.ts';
import { bell, quickCdf } from '../../statistics/distributions/normal-table.ts';
import { filmlessMass, isFilmless } from '../belief/inside-limits.ts';
import { densityOf, measuredSigma, spreadCdf } from '../belief/outcome-density.ts';
import type { Frame } from '../belief/seen.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { type ChannelCell, scaleOf } from '../suspects/scale.ts';
import { altered } from './altered.ts';
import type { KindModel } from './kind-model.ts';
import { measuredWords, wanted } from './measured-words.ts';
import { addPieces, blur, type OutcomeClass, type OutcomeSplit, pieces } from './outcome-pieces.ts';

/** The same touch at the dry and at the normal level. */
export const dryNormalModel: KindModel<'dry-normal'> = {
  takes: 'a dry and a normal reading',
  touches: true,
  channels(_guide, { pads, pressed, access }) {
    const at = { quantity: 'ohm', finding: { power: 'off', pressed, access }, between: pads } as const;
    return [
      { ...at, name: 'ohm', level: 'normal', finding: { ...at.finding }, between: pads },
      { ...at, name: 'dry', level: 'dry', finding: { ...at.finding }, between: pads },
    ];
  },
  measured: ({ dry, normal }) => [dry, normal],
  isMute: () => false,
  isSpoken: () => true,
  contradicts: () => false,
  likelihood: ({ rules }, check, evidence, { cells }) => levelsLikelihood(rules, check, evidence, cells),
  chance: (_frame, { dry, normal }, density) => density('ohm', normal) * (dry.state === 'in-range' ? 0.5 : 0.3),
  split: levelsSplit,
  words(check, evidence) {
    const [dry, normal] = [evidence.dry, evidence.normal].map((one) => measuredWords(one, 'resistance'));
    return `read ${dry} dry and ${normal} at the normal level${wanted(check)}`;
  },
};

function levelsLikelihood(
  { touch }: IsolationRules,
  check: DryNormalCheck,
  { dry, normal }: EvidenceOf<'dry-normal'>,
  cells: readonly ChannelCell[],
): number {
  const [atNormal, atDry] = cells as [ChannelCell, ChannelCell];
  const isSame = Math.abs(atNormal.low - atDry.low) < 1e-6 && Math.abs(atNormal.high - atDry.high) < 1e-6;
  const first = altered(touch, check.limits, 'ohm', atNormal, normal, touch.badMoments, 0);
  if (touch.limitsSpeak && isFilmless(check.factor, dry, normal)) {
    return first * (isSame ? 1 : filmlessMass(check.factor, atDry, normal));
  }
  if (!isSame) return first * densityOf('ohm', atDry, dry);
  // one touch, one contact: the device's own deviation is in both readings
  const sigma = (one: Measured): number => measuredSigma('ohm', one.value, one.u);
  const width = Math.hypot(touch.touchSigma, sigma(dry), sigma(normal));
  const between = (scaleOf('ohm', dry.value) - scaleOf('ohm', normal.value)) / width;
  const isAbove = (one: Measured): boolean => one.state === 'above-range';
  if (dry.state !== 'above-range' && dry.state !== 'in-range') return first;
  if (isAbove(normal)) return isAbove(dry) ? first : first * quickCdf(between);
  if (normal.state !== 'in-range') return first * densityOf('ohm', atDry, dry);
  return first * (isAbove(dry) ? quickCdf(-between) : bell(between) / width);
}

function levelsSplit({ guide, rules: { touch } }: Frame, check: DryNormalCheck): OutcomeSplit {
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
