import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseScript, parseScriptLine, scriptHelp } from '../../../sim/hands/script.ts';

const names = { pads: ['A', 'B'], keys: ['record'], repairs: ['clean'], units: ['board'] };

describe('script lines', () => {
  test.each([
    ['touch A B', { do: 'touch', pads: ['A', 'B'] }],
    ['  lift  # now', { do: 'lift' }],
    ['short', { do: 'short' }],
    ['press record 5', { do: 'press', key: 'record', count: 5 }],
    ['press record', { do: 'press', key: 'record', count: 1 }],
    ['hold record', { do: 'hold', key: 'record' }],
    ['release record', { do: 'release', key: 'record' }],
    ['power on', { do: 'power', power: 'on' }],
    ['flex 4 s', { do: 'flex', us: 4e6 }],
    ['repair clean', { do: 'repair', repair: 'clean' }],
    ['swap board', { do: 'replace', unit: 'board' }],
    ['wait 200 ms', { do: 'wait', us: 200e3 }],
    ['wait 1.5s', { do: 'wait', us: 1.5e6 }],
    ['button 50 ms', { do: 'button', us: 50e3 }],
    ['answer unsure', { do: 'answer', answer: 'unsure', id: '' }],
    ['# only a remark', null],
    ['', null],
  ])('%s', (line, move) => {
    expect(parseScriptLine(line, 1, names)).toEqual({ ok: true, move });
  });

  test.each([
    'touch A',
    'touch A C',
    'press play',
    'press record 0',
    'press record 2.5',
    'wait',
    'wait 200',
    'wait -1 ms',
    'wait 9999999 s',
    'power maybe',
    'answer maybe',
    'flex',
    'repair pray',
    'swap clean',
    'repair',
    'jump',
    'lift now',
  ])('%s is refused with what and help', (line) => {
    const parsed = parseScriptLine(line, 7, names);
    expect(parsed).toMatchObject({ ok: false, problem: { line: 7 } });
    if (!parsed.ok) expect(parsed.problem.help).not.toContain('undefined');
  });

  test('a script gives all its problems, by line', () => {
    const parsed = parseScript('touch A B\nfly\n\ntouch A X\n', names);
    expect(parsed).toMatchObject({ ok: false, problems: [{ line: 2 }, { line: 4 }] });
  });

  test('every form in the help is one that the parser takes', () => {
    const example = (form: string): string =>
      form
        .split(/ {2,}/)[0]!
        .replace(/[[\]]/g, '')
        .replace('KEY', 'record')
        .replace('ID', 'clean')
        .replace('UNIT', 'board')
        .replace('N', '3')
        .replace(/\|\S+/, '');
    for (const form of scriptHelp.filter((one) => !one.startsWith('#')))
      expect(parseScriptLine(example(form), 1, names), form).toMatchObject({ ok: true });
  });

  test('no text makes it throw', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        parseScript(text, names);
      }),
    );
  });
});
