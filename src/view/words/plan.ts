import type { RepairPlan } from '../../isolate/types.ts';
import { percent } from '../../statistics/percent.ts';

type ToldStep = Pick<RepairPlan['steps'][number], 'name' | 'p' | 'price' | 'minutes'>;

/** What the words need of a plan; one from a record serves too. */
type ToldPlan = Pick<RepairPlan, 'expectedPrice' | 'expectedMinutes' | 'left' | 'usual'> & {
  steps: readonly unknown[];
};

/** A plan that more likely than not mends nothing says where to go from there. */
const likelyInVain = 0.5;
const handOnWords = 'it is then one for a bench that works at board level';

/**
 * Returns what a plan is expected to cost, and what doing the usual repair first would; for an
 * empty plan, where to go if something is wrong.
 */
export function costLines(plan: ToldPlan, currency: string | null): string[] {
  const { steps, expectedPrice, expectedMinutes, left, usual } = plan;
  if (steps.length === 0) {
    return left > likelyInVain ? [`no repair of this guide is likely to help: ${handOnWords}`] : [];
  }
  const handOn = left > likelyInVain ? `: ${handOnWords}` : '';
  const lines = [
    `expected: ${moneyText(expectedPrice, currency)}, ${minutesText(expectedMinutes)}; ${percent(left)} that nothing helps${handOn}`,
  ];
  if (usual !== null) {
    const { name, expectedPrice: price, expectedMinutes: minutes } = usual;
    lines.push(`${name} first: ${moneyText(price, currency)}, ${minutesText(minutes)}`);
  }
  return lines;
}

/** Returns a planned repair in words: what to do, how likely it helps, what it costs. */
export function stepText({ name, p, price, minutes }: ToldStep, currency: string | null): string {
  return `${name} (${percent(p)} that it helps; ${moneyText(price, currency)}, ${minutesText(minutes)})`;
}

/** Returns an amount with its currency, if the guide has one. */
export function moneyText(price: number, currency: string | null): string {
  return currency === null ? price.toFixed(2) : `${price.toFixed(2)} ${currency}`;
}

/** Returns whole minutes. */
export function minutesText(minutes: number): string {
  return `${Math.round(minutes)} min`;
}
