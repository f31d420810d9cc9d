// From the first check to the tested repair as a person sees it at 80x24: the built program in a terminal, emulated probe and hands; the person only chooses.
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { readRecord } from '../../src/record/store/read-record.ts';
import { scratch } from '../support/scratch.ts';
import { SeenTerminal } from './screen-terminal.ts';

const folder = scratch();
const intake = ['--revision', 'A', '--ticket', 'T-9', '--symptom', 'record key is dead', '--serial', 'none'];
let seen: SeenTerminal | null = null;

afterEach(async () => {
  await seen?.close();
  seen = null;
});

const onSim = ['--port', 'sim:', '--fast', '--repair', 'ask', '--accept-cautions', 'all', '--jobs', folder];

test('a person chooses a repair by its number; the hands do it, and the same checks pass', async () => {
  const args = [
    'start',
    'examples/field-recorder.yaml',
    ...onSim,
    ...intake,
    '--fault',
    'contact-a=film',
    '--seed',
    '3',
  ];
  seen = SeenTerminal.program(args);
  const conclusion = await seen.until((text) => text.includes('What may be done') && text, 'the conclusion');
  expect(conclusion).toMatch(/FOUND: contact between/);
  expect(conclusion).toMatch(/1 {2}clean the contact pads.+ \d+ % +0\.40 +6 min/);
  expect(conclusion).toMatch(/0 {2}close the job without a repair/);
  seen.key('1');
  expect(await seen.ended).toMatchObject({ exitCode: 0 });
  expect(seen.wholeText).toMatch(/result: repaired/);
  expect(seen.wholeText).toMatch(/before fail, after pass/);
  const [name] = readdirSync(folder).filter((file) => file.endsWith('.owjob'));
  const { state } = await readRecord(join(folder, name!));
  expect(state.result).toBe('repaired');
  expect(state.repairs).toMatchObject([{ repair: 'clean', what: 'repair' }]);
}, 60_000);
