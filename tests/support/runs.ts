/** Share of its cases that a property runs; 1 with `OHMWRIGHT_RUNS=1`, more for a long search. */
const share = Number(process.env.OHMWRIGHT_RUNS ?? 1 / 3);

/** Returns how often to run what is worth so many cases when there is time. */
export function runs(whole: number): number {
  return Math.max(1, Math.round(whole * share));
}

/** Step through what is worth trying at every place: each place with all cases, each third one by default. */
export const stride = Math.max(1, Math.round(1 / share));
