import type { Answer } from '../../src/ports/prompt.ts';
import type { Move } from './moves.ts';

/** What a script may name. */
export interface ScriptNames {
  readonly pads: readonly string[];
  readonly keys: readonly string[];
  readonly repairs: readonly string[];
  readonly units: readonly string[];
}

/** A line that can't be done: where, what is wrong, what to write instead. */
export interface ScriptProblem {
  readonly line: number;
  readonly what: string;
  readonly help: string;
}

export type ParsedLine =
  | { readonly ok: true; readonly move: Move | null }
  | { readonly ok: false; readonly problem: ScriptProblem };

/** The line language, one line of help a form. */
export const scriptHelp: readonly string[] = [
  'touch A B          put tip A on pad A and tip B on pad B (lifting first if they are down)',
  'lift               take both tips up, and let go of held keys',
  'short              touch the two tips together',
  'press KEY [N]      press a key N times to a steady beat (once if N is left out)',
  'hold KEY           press a key and keep it down until `release KEY` or `lift`',
  'release KEY        let go of a held key',
  'power on|off       switch the device on or off',
  'flex 4 s           bend and tap the device, with the tips where they are (us, ms or s)',
  'repair ID          do a repair of the guide; it mends with its chance of success',
  'swap UNIT          put in a known-good unit',
  'wait 200 ms        let time pass (us, ms or s)',
  'button [50 ms]     press the button of the probe (80 ms if no time is given)',
  'answer yes|no|unsure   answer the question that is open',
  '# anything         a remark',
];

const usPerUnit: Readonly<Record<string, number>> = { us: 1, ms: 1e3, s: 1e6 };
const longestUs = 3600e6;
const mostPresses = 1000;
const defaultButtonUs = 80e3;

/**
 * Returns the move that one line of a script asks for; null for an empty line or a remark. `names`
 * limits pads and keys to those of the guide.
 */
export function parseScriptLine(text: string, line: number, names: ScriptNames): ParsedLine {
  const words = text.replace(/#.*$/, '').trim().split(/\s+/);
  const [verb = '', ...rest] = words;
  const done = (move: Move | null): ParsedLine => ({ ok: true, move });
  const bad = (what: string, help: string): ParsedLine => ({ ok: false, problem: { line, what, help } });
  const form = (): ParsedLine =>
    bad(
      `'${text.trim()}' is not complete or has too many words`,
      `Write: ${scriptHelp.find((one) => one.startsWith(verb))}`,
    );
  const known = (kind: 'pad' | 'key' | 'repair' | 'unit', name: string): ParsedLine | null => {
    const list = names[`${kind}s`];
    return list.includes(name)
      ? null
      : bad(`there is no ${kind} '${name}'`, `The guide has: ${list.join(', ') || 'none'}.`);
  };
  switch (verb) {
    case '':
      return done(null);
    case 'touch': {
      const [padA, padB] = rest;
      if (padA === undefined || padB === undefined || rest.length !== 2) return form();
      return known('pad', padA) ?? known('pad', padB) ?? done({ do: 'touch', pads: [padA, padB] });
    }
    case 'lift':
    case 'short':
      return rest.length === 0 ? done({ do: verb }) : form();
    case 'press': {
      const [key, countText = '1'] = rest;
      if (key === undefined || rest.length > 2) return form();
      const count = Number(countText);
      if (!Number.isInteger(count) || count < 1 || count > mostPresses)
        return bad(`'${countText}' is not a number of presses`, `Write a whole number from 1 to ${mostPresses}.`);
      return known('key', key) ?? done({ do: 'press', key, count });
    }
    case 'hold':
    case 'release': {
      const [key] = rest;
      if (key === undefined || rest.length !== 1) return form();
      return known('key', key) ?? done({ do: verb, key });
    }
    case 'power':
      if (rest.length !== 1 || (rest[0] !== 'on' && rest[0] !== 'off')) return form();
      return done({ do: 'power', power: rest[0] });
    case 'repair':
    case 'swap': {
      const [id] = rest;
      if (id === undefined || rest.length !== 1) return form();
      if (verb === 'repair') return known('repair', id) ?? done({ do: 'repair', repair: id });
      return known('unit', id) ?? done({ do: 'replace', unit: id });
    }
    case 'flex':
    case 'wait':
    case 'button': {
      if (rest.length === 0 && verb === 'button') return done({ do: 'button', us: defaultButtonUs });
      const match = /^(\d+(?:\.\d+)?)(us|ms|s)$/.exec(rest.join(''));
      if (match === null) return bad(`'${rest.join(' ')}' is not a time`, 'Write a number and its unit: us, ms or s.');
      const us = Number(match[1]) * usPerUnit[match[2]!]!;
      if (us > longestUs) return bad(`'${rest.join(' ')}' is too long`, 'Write an hour at most.');
      return done({ do: verb, us });
    }
    case 'answer':
      if (rest.length !== 1 || !['yes', 'no', 'unsure'].includes(rest[0]!)) return form();
      return done({ do: 'answer', answer: rest[0] as Answer, id: '' });
    default:
      return bad(
        `'${verb}' is nothing that hands do here`,
        `Known are: touch, lift, short, press, hold, release, power, flex, repair, swap, wait, button, answer.`,
      );
  }
}

/** Returns the moves of a whole script, or everything that is wrong with it. */
export function parseScript(
  text: string,
  names: ScriptNames,
): { readonly ok: true; readonly moves: Move[] } | { readonly ok: false; readonly problems: ScriptProblem[] } {
  const moves: Move[] = [];
  const problems: ScriptProblem[] = [];
  for (const [index, lineText] of text.split(/\r?\n/).entries()) {
    const parsed = parseScriptLine(lineText, index + 1, names);
    if (!parsed.ok) problems.push(parsed.problem);
    else if (parsed.move !== null) moves.push(parsed.move);
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, moves };
}
