import { readFile } from 'node:fs/promises';
import { beforeAll, describe, expect, test } from 'vitest';
import { checkKinds } from '../../src/checks/registry.ts';
import { loadGuide } from '../../src/guide/file/load.ts';
import { ProbeLink } from '../../src/link/probe/probe-link.ts';
import { replayFile } from '../../src/link/recording/replay-transport.ts';
import type { Entry, EntryOf } from '../../src/record/entries/entries.ts';
import { readRecord } from '../../src/record/store/read-record.ts';
import { JobRecord } from '../../src/record/store/record.ts';
import { calibrationOf } from '../../src/session/engine/calibration-in-force.ts';
import { openJobSession } from '../../src/session/job/job-session.ts';
import { replayBytes } from '../../src/session/replay/replay-bytes.ts';
import { verifyRecord } from '../../src/verify/verify.ts';
import { plainBench } from '../support/bench-settings.ts';
import { scratch } from '../support/scratch.ts';

const guideFile = 'examples/field-recorder.yaml';
const bytesFile = 'examples/field-recorder.owbytes';
const recordFile = 'examples/field-recorder.owjob';

/** The verdicts of a record: what was checked, from which raw codes, with which outcome. */
function verdicts(entries: readonly Entry[]): { of: string; outcome: string; window: unknown }[] {
  return entries.flatMap((entry): { of: string; outcome: string; window: unknown }[] => {
    switch (entry.kind) {
      case 'capture':
      case 'proof':
        return [
          {
            of: entry.kind === 'proof' ? `${entry.when} ${entry.what}` : entry.check,
            outcome: entry.outcome,
            window: entry.capture?.window ?? null,
          },
        ];
      case 'presses':
        return [{ of: entry.check, outcome: entry.outcome, window: entry.presses.map((p) => p.window) }];
      case 'observation':
        return [{ of: entry.check, outcome: entry.outcome, window: null }];
      default:
        return [];
    }
  });
}

describe('the recorded byte stream among the examples', () => {
  const folder = scratch();
  let sample: Entry[] = [];
  beforeAll(async () => {
    const read = await readRecord(recordFile);
    expect(verifyRecord(read.bytes)).toMatchObject({ ok: true, departures: [] });
    sample = read.entries;
  });

  test('holds every capture of the sample record, code by code', async () => {
    const { captures, gaps } = replayBytes(await readFile(bytesFile), null);
    expect(gaps).toBe(0);
    const stored = sample.filter((e): e is EntryOf<'capture'> => e.kind === 'capture');
    expect(stored.length).toBeGreaterThan(10);
    for (const entry of stored) {
      expect(captures.map((c) => c.window)).toContainEqual(entry.capture?.window);
    }
  });

  test('gives a whole session the verdicts of the sample record again', async () => {
    const { guide, text, sha256 } = await loadGuide(guideFile, checkKinds);
    const opened = sample[0] as EntryOf<'opened'>;
    const answers = sample.filter((e): e is EntryOf<'observation'> => e.kind === 'observation');
    const record = await JobRecord.create(folder, {
      tool: opened.tool,
      guide: { ...opened.guide, text, sha256 },
      device: opened.device,
      revision: opened.revision,
    });
    const source = await replayFile(bytesFile);
    const held: { hold?: () => () => void } = {};
    const session = openJobSession({
      guide,
      record,
      settings: { ...plainBench, noContactAfterUs: 20_000_000, acceptedCautions: ['all'] },
      probe: {
        connect: (onItem, signal) =>
          ProbeLink.connect(
            async () => {
              const transport = await source();
              if (transport.hold !== undefined) held.hold = () => transport.hold!();
              return transport;
            },
            { onItem, signal },
          ),
        inForce: async (stored, serial) => calibrationOf(stored, serial, Date.now()),
        hold: () => held.hold?.() ?? (() => undefined),
      },
    });
    session.prompts$.subscribe((prompt) => {
      if (prompt.act !== 'answer') return;
      const known = answers.find((a) => a.check === prompt.check);
      session.command({ type: 'answer', prompt: prompt.id, answer: known?.answer ?? 'yes', by: 'hands' });
    });
    const state = await session.run(new AbortController().signal);
    const again = await readRecord(record.path);
    await record.close();
    expect(state.phase).toBe('closed');
    expect(verdicts(again.entries)).toEqual(verdicts(sample));
  });
});
