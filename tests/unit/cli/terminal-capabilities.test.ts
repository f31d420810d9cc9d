import { describe, expect, test } from 'vitest';
import type { Terminal } from '../../../src/faces/screen/terminal/terminal.ts';
import { lookOf, wantsScreen } from '../../../src/faces/screen/terminal/terminal-capabilities.ts';

const seat = { isSeat: true } as unknown as NonNullable<Terminal['screen']>;
const terminal = (env: Record<string, string>, screen: Terminal['screen'] = seat) => ({ env, screen }) as Terminal;
const person = { TERM: 'xterm-256color', LANG: 'en_IE.UTF-8' };

describe('the live screen is shown', () => {
  test.each([
    ['to a person at a terminal', person, seat, {}, true],
    ['not in a pipe', person, null, {}, false],
    ['not on a terminal that cannot move its cursor', { ...person, TERM: 'dumb' }, seat, {}, false],
    ['not on one that says nothing of itself', { LANG: 'C' }, seat, {}, false],
    ['not in CI', { ...person, CI: 'true' }, seat, {}, false],
    ['although CI=false', { ...person, CI: 'false' }, seat, {}, true],
    ['not when plain lines are asked for', person, seat, { plain: true }, false],
    ['not when data is asked for', person, seat, { json: true }, false],
  ])('%s', (_what, env, screen, options, wanted) => {
    expect(wantsScreen(terminal(env, screen), options)).toBe(wanted);
  });
});

describe('how it is drawn', () => {
  // https://no-color.org: any value that is not empty
  test.each([
    [{}, true],
    [{ NO_COLOR: '1' }, false],
    [{ NO_COLOR: '0' }, false],
    [{ NO_COLOR: '' }, true],
  ])('colour with %o: %s', (env, colour) => {
    expect(lookOf(terminal({ ...person, ...env }), {}).colour).toBe(colour);
  });

  // POSIX.1-2017, XBD 8.2: LC_ALL before LC_CTYPE before LANG; an empty value counts as unset
  test.each([
    [{ LANG: 'C' }, false],
    [{ LANG: 'de_DE.utf8' }, true],
    [{ LANG: 'C.UTF-8', LC_ALL: 'POSIX' }, false],
    [{ LANG: 'C', LC_ALL: '', LC_CTYPE: 'C.UTF-8' }, true],
    [{}, false],
  ])('characters with %o: beyond ASCII %s', (env, unicode) => {
    expect(lookOf(terminal(env), {}).unicode).toBe(unicode);
    expect(lookOf(terminal(env), { ascii: true }).unicode).toBe(false);
  });

  test('the background is an option, or what the terminal says of itself', () => {
    expect(lookOf(terminal(person), {}).background).toBe('dark');
    expect(lookOf(terminal({ ...person, COLORFGBG: '0;15' }), {}).background).toBe('light');
    expect(lookOf(terminal({ ...person, COLORFGBG: '0;15' }), { background: 'dark' }).background).toBe('dark');
  });
});
