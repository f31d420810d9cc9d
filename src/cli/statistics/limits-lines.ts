import {
  type GoodValue,
  type LimitsProposal,
  type ScaleFit,
  wideningOf,
} from '../../calibrate/limits/limits-proposal.ts';
import { formatLimits, formatQuantity } from '../../measure/reading/format.ts';
import { dotPlot } from '../../report/pictures/dot-plot.ts';
import { chosenShare } from '../../statistics/percent.ts';
import type { Promised } from '../../statistics/tolerance-interval.ts';
import { marks } from '../../view/words/mark.ts';

const plotWidth = 66;

/**
 * Returns the lines about one proposal: what the units read, old and new limits side by side, a dot
 * plot, and the reasons.
 */
export function proposalLines(
  proposal: LimitsProposal,
  title: string,
  values: readonly GoodValue[],
  promise: Promised,
): string[] {
  const { check, current, limits, outliers, fits } = proposal;
  const { quantity } = current;
  const readable = values.filter(({ isOpen }) => !isOpen);
  const apart = outliers.map(({ value }) => value);
  const belonging = readable.filter(({ unit }) => !outliers.some((outlier) => outlier.unit === unit));
  const plot = dotPlot({
    values: belonging.map(({ value }) => value),
    apart,
    limits: [
      { name: 'old', limits: current },
      { name: 'new', limits },
    ],
    quantity,
    isLog: fits.length > 0 && fits.every(({ scale }) => scale === 'log'),
    width: plotWidth,
  });
  return [
    `${check}  ${title}`,
    ...sampleLines(proposal, promise).map((line) => `  ${line}`),
    `  old  ${formatLimits(current).padEnd(28)}new  ${limits === null ? 'as they are' : formatLimits(limits)}${proposal.verdict === 'doubtful' ? '  (doubtful)' : ''}`,
    ...plot.map((line) => `  ${line}`),
    ...proposal.reasons.map(({ text, doubt }) => `  ${doubt ? marks.doubtful.ascii : '-'} ${text}`),
    '',
  ];
}

function sampleLines(proposal: LimitsProposal, promise: Promised): string[] {
  const { n, factor, method, fits, sides } = proposal;
  const widening = wideningOf(proposal, promise);
  if (method === null || factor === null || widening === null) {
    return [method === 'extremes' ? `${n} units; the limits are their extremes` : `${n} units`];
  }
  const both = fits.length > 1 ? '; the wider end counts' : '';
  const factorName = sides === 'both' ? 'two-sided k' : 'one-sided k';
  return [
    `${n} units; ${fits.map((fit) => fitText(proposal, fit)).join('; or ')}${both}`,
    `${factorName} ${factor.toFixed(3)} for ${chosenShare(promise.coverage)} of units with ${chosenShare(promise.confidence)} confidence, ${widening.toFixed(2)} times what endless units would take`,
  ];
}

function fitText({ shape, outliers, current }: LimitsProposal, { scale, mean, sd, middle }: ScaleFit): string {
  const view = shape?.views.find((each) => each.scale === scale);
  const test = outliers.length > 0 ? view?.rest : view?.all;
  const shown = test === null || test === undefined ? 'too few to test' : `p ${test.p.toPrecision(2)}`;
  const show = (value: number): string => formatQuantity(value, current.quantity);
  return scale === 'log'
    ? `logarithms normal (${shown}): geometric mean ${show(middle)}, spread factor ${Math.exp(sd).toPrecision(3)}`
    : `normal (${shown}): mean ${show(mean)}, s ${show(sd)}`;
}
