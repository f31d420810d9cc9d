// Two units of a device that has no guide, read on the emulated probe and compared.
import { describe, expect, test } from 'vitest';
import { killProgramsAfterwards, ran } from '../../support/program.ts';
import { scratch } from '../../support/scratch.ts';

killProgramsAfterwards();

const device = ['--port', 'sim:', '--device', 'examples/field-recorder.yaml', '--accept-cautions', 'all', '--json'];

describe('compare', { timeout: 240_000 }, () => {
  test('names the pads that differ, and its two records say the same again', async () => {
    const jobs = ['--jobs', scratch()];
    const pads = ['--pads', 'M1,M2', '--pads', 'S1,J1', '--pressed', 'record'];
    const program = await ran([
      'compare',
      'shelf',
      'customer',
      ...pads,
      ...device,
      ...jobs,
      '--fault',
      'contact-a=film',
    ]);
    expect(program.ending.code).toBe(1);
    const { compared: records, differences, unread } = JSON.parse(program.out.all.join('\n'));
    expect(unread).toEqual([]);
    expect(differences).toMatchObject([
      { pair: 'M1-M2', says: 'differs', onGood: { hasFilm: false }, onBad: { hasFilm: true } },
      { pair: 'S1-J1', says: 'same' },
    ]);
    for (const { path } of records) expect((await ran(['verify', path])).ending.code).toBe(0);
    const again = await ran(['compare', records[0].path, records[1].path, '--json']);
    expect(JSON.parse(again.out.all.join('\n')).differences).toEqual(differences);
  });

  test('two keys of one unit', async () => {
    const pads = ['--pads', 'R1,C1=R1,C2', '--pressed', '1'];
    const keypad = [
      '--port',
      'sim:',
      '--device',
      'examples/membrane-keypad.yaml',
      '--accept-cautions',
      'all',
      '--json',
    ];
    const program = await ran(['compare', 'key-1', 'key-2', ...pads, ...keypad, '--jobs', scratch()]);
    const { differences } = JSON.parse(program.out.all.join('\n'));
    // key 1 is held, so only its own pads are joined
    expect(differences).toMatchObject([{ says: 'differs', onGood: { isOpen: false } }]);
  });

  test.each([
    ['no pads', []],
    ['one pad', ['--pads', 'K1']],
    ['a pad with itself', ['--pads', 'K1,K1']],
    ['a pair twice', ['--pads', 'K1,K2', '--pads', 'K1,K2']],
    ['a pad that the device has not', ['--pads', 'K1,Z9']],
  ])('%s is refused', async (_name, pads) => {
    expect((await ran(['compare', 'a', 'b', ...pads, ...device, '--jobs', scratch()])).ending.code).toBe(2);
  });
});
