import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Belief, Conclusion, Proposal } from '../../../src/isolate/types.ts';
import { cli } from '../../support/command-line.ts';
import { shortGuide } from '../../support/scratch.ts';

const recorder = join(import.meta.dirname, '../../../examples/field-recorder.yaml');
interface Told {
  evidence: unknown[];
  belief: Belief;
  next: Proposal | null;
  proposals: Proposal[];
  conclusion: Conclusion;
}
const told = async (...args: string[]): Promise<Told> => {
  const { code, terminal } = await cli('/', ['suspects', recorder, ...args, '--json']);
  expect(terminal.saidLines).toEqual([]);
  expect(code).toBe(0);
  return terminal.json as Told;
};

describe('suspects', () => {
  test('with nothing measured: the priors, and what to do first', async () => {
    const { belief, next, proposals, conclusion } = await told();
    expect(belief.suspects.reduce((sum, { p }) => sum + p, 0)).toBeCloseTo(1, 9);
    expect(conclusion.kind).toBe('open');
    expect(next).toEqual(proposals[0]);
    expect(next!.bits).toBeGreaterThanOrEqual(0.02);
    expect(next!.minutes).toBeGreaterThan(0);
  });

  test('a path that is open is so at both levels of a dry and normal touch', async () => {
    const { evidence } = await told('--reading', 'whole=open');
    const [both] = (await told('--reading', 'whole=open,open')).evidence;
    expect(evidence).toEqual([both]);
  });

  test('a bridge that conducts without a response, and an open left spring: the jack board', async () => {
    const { belief, next, conclusion } = await told('--observed', 'bridge-springs=no', '--reading', 'spring-a=open');
    expect(belief.decisions[0]).toMatchObject({ id: 'jack-board', p: expect.closeTo(0.98, 2) });
    // a dear board is confirmed by one more check before it is bought
    expect(conclusion).toMatchObject({ kind: 'open' });
    expect(next).not.toBeNull();
    expect(conclusion.reasons.some((reason) => reason.includes('S1 and J1') && reason.includes('open'))).toBe(true);
    expect(conclusion.plan.steps[0]!.repair).toBe('new-jack-board');
    expect(conclusion.notTested).not.toContain('spring-a');
    expect(conclusion.notTested).toContain('spring-b');
  });

  test('an unproven bridge changes nothing', async () => {
    const [before, after] = [await told(), await told('--observed', 'bridge-springs=unproven')];
    expect(after.belief.decisions).toEqual(before.belief.decisions);
    expect(after.conclusion.notTested).toContain('bridge-springs');
  });

  test('takes every kind of reading, and proposes none of them again', async () => {
    const readings = ['key-presses=1.2ohm,3bad', 'idle=1.8V', 'spring-b=0.05ohm+-0.01ohm', 'springs-apart=>1Mohm'];
    const { proposals, conclusion } = await told(
      ...readings.flatMap((text) => ['--reading', text]),
      '--observed',
      'look-pads=no',
    );
    const done = ['key-presses', 'idle', 'spring-b', 'springs-apart', 'look-pads'];
    for (const { check } of proposals) expect(done).not.toContain(check);
    for (const check of done) expect(conclusion.notTested).not.toContain(check);
  });

  test('how the device stands, and what can not be done, changes what is proposed', async () => {
    const on = await told('--power', 'on', '--access', 'key-off');
    const off = await told('--power', 'off', '--access', 'key-off');
    const minutes = ({ proposals }: Told, id: string): number => proposals.find(({ check }) => check === id)!.minutes;
    expect(minutes(on, 'bridge-springs')).toBe(minutes(off, 'bridge-springs') - 1);
    const without = await told('--skip', on.next!.check);
    expect(without.proposals.map(({ check }) => check)).not.toContain(on.next!.check);
  });

  test('in words: shares, the next check and why, the plan beside the usual part', async () => {
    const { code, terminal } = await cli('/', ['suspects', recorder, '--observed', 'look-pads=no']);
    expect(code).toBe(0);
    const text = terminal.outLines.join('\n');
    for (const word of ['%', 'Next: ', 'bit', 'min', 'Plan', 'clean the contact pads', 'fit a new key unit', 'EUR']) {
      expect(text).toContain(word);
    }
  });

  test.each([
    [['--reading', 'spring-a=0.3'], 'usage.evidence'],
    [['--reading', 'spring-a=1.8V'], 'usage.evidence'],
    [['--reading', 'spring-a=-2ohm'], 'usage.evidence'],
    [['--reading', 'sprung-a=2ohm'], 'usage.evidence'],
    [['--reading', 'spring-a'], 'usage.evidence'],
    [['--reading', 'look-pads=1ohm'], 'usage.evidence'],
    [['--reading', 'key-presses=1ohm,21bad'], 'usage.evidence'],
    [['--observed', 'spring-a=yes'], 'usage.evidence'],
    [['--observed', 'look-pads=maybe'], 'usage.evidence'],
    [['--observed', 'look-pads=unproven'], 'usage.evidence'],
    [['--reading', 'spring-a=0.1ohm', '--reading', 'spring-a=open'], 'usage.evidence'],
    [['--access', 'half-open'], 'usage.access'],
    [['--skip', 'nothing'], 'usage.check'],
  ])('refuses %j in one sentence, with exit 2', async (args, error) => {
    const { code, terminal } = await cli('/', ['suspects', recorder, ...args]);
    expect(code).toBe(2);
    expect(terminal.saidLines).toHaveLength(1);
    expect(terminal.errorCode).toBe(error);
    expect(terminal.outLines).toEqual([]);
  });

  test('contradicting readings are said to be so', async () => {
    // the wire is whole by eye and by hand, and open from end to end
    const { code, terminal } = await cli('/', [
      'suspects',
      recorder,
      '--reading',
      'key-closed=open',
      '--reading',
      'key-presses=1.2ohm',
      '--json',
    ]);
    expect(code).toBe(0);
    const { belief } = terminal.json as Told;
    expect(belief.doubt).not.toBeNull();
  });

  test('serves a guide without repairs', async () => {
    const { code, terminal } = await cli('/', ['suspects', shortGuide, '--reading', 'wire=open', '--json']);
    expect(code).toBe(0);
    expect((terminal.json as Told).conclusion.plan).toMatchObject({ steps: [], usual: null, left: 1 });
  });
});
