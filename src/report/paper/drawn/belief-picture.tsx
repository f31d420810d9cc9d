import { scaleLinear, scalePoint } from 'd3-scale';
import { curveStepAfter, line } from 'd3-shape';
import { percent } from '../../../statistics/percent.ts';
import type { BeliefAfter } from '../../../verify/conclusions/believed.ts';

const width = 860;
const height = 240;
const left = 44;
const right = 270;
const bottom = 46;
const shown = 5;
/** So many numbers of entries stand below the picture without covering one another. */
const mostNumbers = 24;
/** Names of lines stand at least so far apart. */
const nameHeight = 15;
/** Lines are told apart by their dashes and the name at their end, not by a colour. */
const dashes = [undefined, '8 3', '3 3', '10 3 2 3', '1 4'];

/** How the belief gathered over the job: the probability of each decision after each attempt. */
export function BeliefPicture({ beliefs }: { beliefs: readonly BeliefAfter[] }) {
  const last = beliefs.at(-1);
  if (last === undefined || beliefs.length < 2) return null;
  const decisions = mostBelieved(beliefs);
  const x = scalePoint(
    beliefs.map(({ n }) => n),
    [left, width - right],
  );
  const y = scaleLinear([0, 1], [height - bottom, 10]);
  const pOf = (step: BeliefAfter, id: string): number => step.belief.decisions.find((one) => one.id === id)?.p ?? 0;
  const numbered = Math.ceil(beliefs.length / mostNumbers);
  const ends = spread(decisions.map(({ id }) => y(pOf(last, id))));
  const words = decisions.map(({ id, name }) => `${name} ${percent(pOf(last, id))}`).join('; ');
  return (
    <figure>
      <div className="wide">
        <svg
          viewBox={`0 0 ${width} ${height}`}
          width={width}
          height={height}
          role="img"
          aria-label={`Belief over the job, at its end: ${words}`}
        >
          <path className="axis" d={`M ${left} 10 V ${height - bottom} H ${width - right}`} />
          {[0, 0.5, 1].map((p) => (
            <text key={p} x={left - 6} y={y(p) + 4} textAnchor="end">
              {100 * p} %
            </text>
          ))}
          {beliefs
            .filter(({ entry }, i) => entry.kind === 'repair' || i % numbered === 0)
            .map(({ n, entry }) => (
              <text key={n} className="soft" transform={`translate(${x(n)} ${height - bottom + 12}) rotate(18)`}>
                {entry.kind === 'repair' ? 'repair' : n}
              </text>
            ))}
          {decisions.map(({ id, name }, i) => (
            <g key={id}>
              <path
                className="curve"
                strokeDasharray={dashes[i]}
                d={
                  line<BeliefAfter>(
                    (step) => x(step.n) ?? left,
                    (step) => y(pOf(step, id)),
                  ).curve(curveStepAfter)(beliefs) ?? ''
                }
              />
              <line
                className="curve"
                strokeDasharray={dashes[i]}
                x1={width - right + 6}
                x2={width - right + 28}
                y1={ends[i]}
                y2={ends[i]}
              />
              <text x={width - right + 33} y={ends[i]! + 4}>
                {shortened(name)} {percent(pOf(last, id))}
              </text>
            </g>
          ))}
        </svg>
      </div>
      <figcaption>
        Probability of each place of the fault after each attempt; below: the number of its entry.
      </figcaption>
    </figure>
  );
}

/** The decisions that were ever most likely, likeliest first. */
function mostBelieved(beliefs: readonly BeliefAfter[]): { id: string; name: string }[] {
  const best = new Map<string, { id: string; name: string; p: number }>();
  for (const { belief } of beliefs) {
    for (const { id, name, p } of belief.decisions) {
      if (p > (best.get(id)?.p ?? 0)) best.set(id, { id, name, p });
    }
  }
  return [...best.values()].sort((a, b) => b.p - a.p).slice(0, shown);
}

/**
 * Moves heights apart, so that names neither cover one another nor leave the picture: down from the
 * top, then up from the bottom.
 */
function spread(heights: readonly number[]): number[] {
  const order = heights.map((y, i) => ({ y, i })).sort((a, b) => a.y - b.y);
  const placed: number[] = [];
  let least = 10;
  for (const { y, i } of order) {
    placed[i] = Math.max(y, least);
    least = placed[i] + nameHeight;
  }
  let most = height - nameHeight;
  for (const { i } of order.toReversed()) {
    placed[i] = Math.min(placed[i]!, most);
    most = placed[i] - nameHeight;
  }
  return placed;
}

function shortened(name: string): string {
  return name.length <= 32 ? name : `${name.slice(0, 31)}\u2026`;
}
