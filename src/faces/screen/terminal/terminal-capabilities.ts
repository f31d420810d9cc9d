import type { Terminal } from './terminal.ts';

/** Options of every command that has a live screen. */
export interface ScreenOptions {
  plain?: boolean;
  json?: boolean;
  ascii?: boolean;
  background?: 'dark' | 'light';
  bell?: boolean;
}

/** How a screen is drawn on this terminal. */
export interface Look {
  colour: boolean;
  unicode: boolean;
  background: 'dark' | 'light';
}

/**
 * Returns whether the live screen is shown: a person sits at both ends of a terminal that can move
 * its cursor, and did not ask for plain lines.
 *
 * Decided before anything of the screen is loaded.
 */
export function wantsScreen({ screen, env }: Terminal, options: ScreenOptions): boolean {
  if (screen === null || options.plain === true || options.json === true) return false;
  const term = env.TERM ?? '';
  return term !== 'dumb' && term !== '' && !isSet(env.CI);
}

/**
 * Returns how to draw, from options and environment: NO_COLOR (https://no-color.org), the locale's
 * character set, COLORFGBG.
 */
export function lookOf({ env }: Terminal, options: ScreenOptions): Look {
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG || '';
  const backgroundIndex = Number(env.COLORFGBG?.split(';').at(-1) ?? 'NaN');
  const looksLight = backgroundIndex === 7 || backgroundIndex === 15;
  return {
    colour: (env.NO_COLOR ?? '') === '',
    unicode: options.ascii !== true && /utf-?8/i.test(locale),
    background: options.background ?? (looksLight ? 'light' : 'dark'),
  };
}

function isSet(value: string | undefined): boolean {
  return value !== undefined && value !== '' && value !== '0' && value !== 'false';
}
