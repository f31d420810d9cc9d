/** One point of a chart over time, in any unit. */
export interface ChartPoint {
  value: number;
  average: number;
  lower: number;
  upper: number;
  out: boolean;
}

/**
 * Returns a chart as lines of ASCII, oldest point left: `-` limits, `=` target, `.` single values,
 * `o` their average, `X` an average outside its limits. Shows the latest `width` points. No points:
 * no lines.
 */
export function timeChart(
  points: readonly ChartPoint[],
  target: number,
  size: { width: number; height: number },
  label: (value: number) => string,
): string[] {
  const shown = points.slice(-size.width);
  if (shown.length === 0) return [];
  const all = shown.flatMap(({ value, average, lower, upper }) => [value, average, lower, upper]);
  const low = Math.min(...all, target);
  const span = Math.max(...all, target) - low || 1;
  const row = (value: number): number => Math.round((1 - (value - low) / span) * (size.height - 1));
  const cells = Array.from({ length: size.height }, () => new Array<string>(shown.length).fill(' '));
  const put = (value: number, place: number, mark: string): void => {
    cells[row(value)]![place] = mark;
  };
  shown.forEach(({ value, average, lower, upper, out }, place) => {
    put(target, place, '=');
    put(lower, place, '-');
    put(upper, place, '-');
    put(value, place, '.');
    put(average, place, out ? 'X' : 'o');
  });
  const named = new Map<number, string>();
  const last = shown.at(-1)!;
  for (const value of [last.lower, last.upper, target]) named.set(row(value), label(value));
  const wide = Math.max(...[...named.values()].map((text) => text.length));
  return cells.map((line, i) => `${(named.get(i) ?? '').padStart(wide)} |${line.join('')}`.trimEnd());
}
