// Every command's happy path in this process: exit code, data on stdout, talk on stderr.

import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { commandList } from '../../../src/cli/program/command-list.ts';
import { exitMeanings } from '../../../src/cli/program/exit-codes.ts';
import { cli, type FakeTerminal } from '../../support/command-line.ts';
import { ranRecord } from '../../support/ran-record.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

let cwd: string;
beforeAll(async () => {
  cwd = scratch();
});

const onSim = ['--port', 'sim:', '--revision', 'A'];

describe('run', () => {
  test('a healthy device passes: exit 0, one line of data, prompts on stderr, record where asked', async () => {
    const record = join(cwd, 'healthy.owjob');
    const { code, terminal } = await cli(cwd, [
      'run',
      shortGuide,
      '--order',
      'guide',
      ...onSim,
      '--record',
      record,
      '--json',
    ]);
    expect(code).toBe(0);
    expect(terminal.json).toMatchObject({
      record,
      open: false,
      result: 'passed',
      exitCode: 0,
      proofs: 'held',
      doubtful: false,
      counts: { checks: 4, passed: 4 },
    });
    expect(existsSync(record)).toBe(true);
    expect(existsSync(`${record}.lock`)).toBe(false);
    expect(terminal.saidLines.filter((line) => line.startsWith('> ')).length).toBeGreaterThanOrEqual(6);
  });

  test('a fault is found: exit 1, and the failed check is named', async () => {
    const { code, terminal } = await cli(cwd, [
      'run',
      shortGuide,
      '--order',
      'guide',
      ...onSim,
      '--fault',
      'wire-a=open',
      '--json',
    ]);
    expect(code).toBe(1);
    const { result, checks } = terminal.json as { result: string; checks: { id: string; outcome: string }[] };
    expect(result).toBe('failed');
    expect(checks.map(({ id, outcome }) => `${id} ${outcome}`)).toEqual([
      'look-wire fail',
      'wire fail',
      'apart pass',
      'supply pass',
    ]);
  });

  test('a value on its limit stays undecided: exit 3, never a pass', async () => {
    // 0.70 ohm beside the 0.30 of the wire: 1 ohm in all, which is the limit
    const { code, terminal } = await cli(cwd, [
      'run',
      shortGuide,
      '--order',
      'guide',
      ...onSim,
      '--fault',
      'wire-a=high:0.7ohm',
      '--json',
    ]);
    const { result, checks } = terminal.json as { result: string; checks: { id: string; outcome: string }[] };
    expect(checks.find(({ id }) => id === 'wire')?.outcome).toBe('borderline');
    expect(result).toBe('inconclusive');
    expect(code).toBe(3);
  });

  test('without --record the record goes to the jobs folder of the environment', async () => {
    const jobs = join(cwd, 'from-environment');
    const { code } = await cli(cwd, ['run', shortGuide, '--order', 'guide', ...onSim], (terminal) => {
      terminal.env.OHMWRIGHT_JOBS = jobs;
    });
    expect(code).toBe(0);
    expect(readdirSync(jobs).filter((name) => name.endsWith('.owjob'))).toHaveLength(1);
  });

  test('an interrupt leaves the job open with exit 130, and --resume brings it to its end', async () => {
    const record = join(cwd, 'left.owjob');
    const left = await cli(
      cwd,
      ['run', shortGuide, '--order', 'guide', ...onSim, '--record', record, '--json'],
      interruptAt('Wire from end'),
    );
    expect(left.terminal.json).toMatchObject({ open: true });
    expect(left.code).toBe(130);
    const resumed = await cli(cwd, ['run', '--resume', record, '--order', 'guide', '--port', 'sim:', '--json']);
    expect(resumed.code).toBe(0);
    expect(resumed.terminal.json).toMatchObject({ open: false, result: 'passed' });
    // what stood in the record was not asked again
    expect(resumed.terminal.said).not.toContain('Wire by eye');
    expect((await cli(cwd, ['verify', record])).code).toBe(0);
  });

  test('keeps the byte stream, and replay comes to the same readings from it', async () => {
    const bytes = join(cwd, 'session.owbytes');
    const run = await cli(cwd, ['run', shortGuide, '--order', 'guide', ...onSim, '--bytes', bytes, '--json']);
    expect(run.code).toBe(0);
    const { checks } = run.terminal.json as { checks: { id: string; attempts: { reading: { value: number } }[] }[] };
    const wire = checks.find(({ id }) => id === 'wire')!.attempts[0]!.reading;
    const played = await cli(cwd, ['replay', bytes, '--limits', 'max: 1 ohm', '--json']);
    const { captures, gaps } = played.terminal.json as {
      captures: { reading: { value: number }; outcome: string | null; input: string }[];
      gaps: number;
    };
    expect(gaps).toBe(0);
    const again = captures.find(({ reading }) => reading.value === wire.value);
    expect(again).toMatchObject({ outcome: 'pass', input: 'tips' });
    // the open pair and the check resistor are above 1 ohm
    expect(played.code).toBe(1);
    const plain = await cli(cwd, ['replay', bytes]);
    expect(plain.code).toBe(0);
    expect(plain.terminal.outLines).toHaveLength(captures.length);
  });
});

const interruptAt = (words: string) => (terminal: FakeTerminal) => {
  terminal.onSaid = (line) => {
    if (line.includes(words)) terminal.interrupt();
  };
};

describe('records: jobs, show, verify', () => {
  test('jobs lists what is in the folder', async () => {
    const folder = scratch();
    await ranRecord(folder, 'one.owjob');
    await ranRecord(folder, 'two.owjob', 'wire-a=open');
    const listed = await cli(cwd, ['jobs', '--jobs', folder, '--json']);
    expect(listed.code).toBe(0);
    const results = (listed.terminal.json as { result: string; open: boolean }[]).map(({ result }) => result);
    expect(results.sort()).toEqual(['failed', 'passed']);
    expect((await cli(cwd, ['jobs', '--jobs', folder])).terminal.outLines).toHaveLength(2);
  });

  test('show tells a record by file or by name in the jobs folder', async () => {
    const folder = scratch();
    const path = await ranRecord(folder, 'one.owjob');
    const byFile = await cli(cwd, ['show', path, '--json']);
    expect(byFile.code).toBe(0);
    expect(byFile.terminal.json).toMatchObject({ whole: true, state: { result: 'passed' } });
    const byName = await cli(cwd, ['show', 'one', '--jobs', folder]);
    expect(byName.code).toBe(0);
    expect(byName.terminal.outLines.length).toBeGreaterThan(10);
    expect(byName.terminal.saidLines).toEqual([]);
  });

  test('verify derives every outcome again', async () => {
    const folder = scratch();
    const [one, two] = [await ranRecord(folder, 'one.owjob'), await ranRecord(folder, 'two.owjob', 'wire-a=open')];
    const { code, terminal } = await cli(cwd, ['verify', one, two, '--json']);
    expect(code).toBe(0);
    const reports = terminal.json as { ok: boolean; counters: { captures: number; proofs: number } }[];
    expect(reports.map(({ ok }) => ok)).toEqual([true, true]);
    // three measured checks and two proofs at each end
    for (const { counters } of reports) expect(counters).toMatchObject({ captures: 3, proofs: 4 });
    const lines = (await cli(cwd, ['verify', one])).terminal.outLines;
    expect(lines[0]).toContain(': verified by the rules ');
    expect(lines[1]).toContain('signed by ');
  });
});

describe('guide', () => {
  test('check: a good guide is 0, warnings and all', async () => {
    const { code, terminal } = await cli(cwd, ['guide', 'check', shortGuide, '--json']);
    expect(code).toBe(0);
    const [result] = terminal.json as { file: string; ok: boolean; problems: { severity: string; line: number }[] }[];
    expect(result).toMatchObject({ file: shortGuide, ok: true });
    for (const problem of result!.problems) {
      expect(problem.severity).toBe('warning');
      expect(problem.line).toBeGreaterThan(0);
    }
  });

  test('predict: every check, and the pairs asked, with and without a fault', async () => {
    const healthy = await cli(cwd, ['guide', 'predict', shortGuide, '--json', '--between', 'P1,P2']);
    expect(healthy.code).toBe(0);
    const told = healthy.terminal.json as Predicted;
    expect(told.checks.map(({ check, insideLimits }) => `${check} ${insideLimits}`)).toEqual([
      'look-wire true',
      'wire true',
      'apart true',
      'supply true',
    ]);
    expect(told.between[0]).toMatchObject({ pads: ['P1', 'P2'] });
    expect(told.between[0]!.ohm).toBeCloseTo(0.3, 6);
    const open = await cli(cwd, ['guide', 'predict', shortGuide, '--json', '--fault', 'wire-a=open']);
    const failing = (open.terminal.json as Predicted).checks.filter(({ insideLimits }) => insideLimits === false);
    expect(failing.map(({ check }) => check)).toEqual(['look-wire', 'wire']);
    const plain = await cli(cwd, ['guide', 'predict', shortGuide, '--between', 'P1,P2', '--power', 'on']);
    expect(plain.terminal.outLines).toHaveLength(5);
  });
});

interface Predicted {
  checks: { check: string; insideLimits: boolean | null }[];
  between: { pads: [string, string]; ohm: number }[];
}

describe('meter', () => {
  test('prints as many lines as asked, each with a reading and how the tips sit', async () => {
    const args = ['meter', '--port', 'sim:', '--guide', shortGuide, '--between', 'P1,P2', '--count', '12', '--json'];
    const { code, terminal } = await cli(cwd, args);
    expect(code).toBe(0);
    expect(terminal.outLines).toHaveLength(12);
    const last = JSON.parse(terminal.outLines.at(-1)!) as {
      seatA: boolean;
      seatB: boolean;
      reading: { value: number };
    };
    expect(last).toMatchObject({ seatA: true, seatB: true });
    // 0.3 ohm with a unit-to-unit spread of 5 %
    expect(last.reading.value).toBeGreaterThan(0.22);
    expect(last.reading.value).toBeLessThan(0.38);
  });

  test('reads volts of a device that is on', async () => {
    const args = ['meter', '--port', 'sim:', '--guide', shortGuide, '--between', 'P4,P5', '--quantity', 'voltage'];
    const { code, terminal } = await cli(cwd, [...args, '--count', '10', '--json']);
    expect(code).toBe(0);
    const { reading } = JSON.parse(terminal.outLines.at(-1)!) as { reading: { quantity: string; value: number } };
    expect(reading.quantity).toBe('voltage');
    expect(reading.value).toBeCloseTo(1.8, 1);
  });

  test('an interrupt ends it with 130', async () => {
    const args = ['meter', '--port', 'sim:', '--guide', shortGuide, '--between', 'P1,P2'];
    const { code, terminal } = await cli(cwd, args, (fake) => {
      fake.onOut = () => {
        if (fake.outLines.length === 2) fake.interrupt();
      };
    });
    expect(code).toBe(130);
    expect(terminal.outLines.length).toBeGreaterThanOrEqual(2);
  });
});

describe('a reader that goes away', () => {
  test('ends the meter without a fuss', async () => {
    const args = ['meter', '--port', 'sim:', '--guide', shortGuide, '--between', 'P1,P2'];
    const { code } = await cli(cwd, args, (fake) => {
      fake.onOut = () => fake.closeOutput();
    });
    expect(code).toBe(0);
  });

  test('leaves a job open, undecided', async () => {
    const record = join(cwd, 'unread.owjob');
    const { code } = await cli(cwd, ['run', shortGuide, '--order', 'guide', ...onSim, '--record', record], (fake) => {
      fake.onSaid = (line) => {
        if (line.includes('Wire from end')) fake.closeOutput();
      };
    });
    expect(code).toBe(3);
    expect((await cli(cwd, ['verify', record])).code).toBe(0);
  });
});

describe('probes', () => {
  test('a port that is not there is said so, with exit 4', async () => {
    const { code, terminal } = await cli(cwd, ['probes', '/dev/no-such-port', '--json']);
    expect(code).toBe(4);
    expect(terminal.json).toMatchObject([{ state: 'closed-to-us', code: 'port.gone' }]);
  });
});

describe('help', () => {
  const names = commandList.map(({ name }) => name);

  test('lists the exit codes, and is 0', async () => {
    const { code, terminal } = await cli(cwd, ['--help']);
    expect(code).toBe(0);
    for (const { code: exit } of exitMeanings)
      expect(terminal.outLines.some((line) => line.startsWith(`  ${exit}  `))).toBe(true);
    expect(terminal.saidLines).toEqual([]);
  });

  test.each(names)('%s has an example', async (name) => {
    const { code, terminal } = await cli(cwd, [...name.split(' '), '--help']);
    expect(code).toBe(0);
    const text = terminal.outLines.join('\n');
    expect(text).toMatch(new RegExp(`Example:\\n {2}ohmwright ${name}`));
  });
});
