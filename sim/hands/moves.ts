import type { Answer } from '../../src/ports/prompt.ts';

/** One thing that hands do. Times in microseconds of probe time. */
export type Move =
  | { readonly do: 'touch'; readonly pads: readonly [string, string] }
  | { readonly do: 'lift' }
  | { readonly do: 'short' }
  | { readonly do: 'press'; readonly key: string; readonly count: number }
  | { readonly do: 'hold' | 'release'; readonly key: string }
  | { readonly do: 'power'; readonly power: 'on' | 'off' }
  | { readonly do: 'access'; readonly access: string | undefined }
  | { readonly do: 'wait'; readonly us: number }
  /** Bends, taps and presses about the device with the tips where they are. */
  | { readonly do: 'flex'; readonly us: number }
  | { readonly do: 'button'; readonly us: number }
  /** A repair of the guide, by id. */
  | { readonly do: 'repair'; readonly repair: string }
  /** A known-good unit in place of the device's own. */
  | { readonly do: 'replace'; readonly unit: string }
  | { readonly do: 'answer'; readonly answer: Answer; readonly id: string }
  /** Answers by what the display showed since the tips came down. */
  | { readonly do: 'tell'; readonly input: string; readonly id: string };
