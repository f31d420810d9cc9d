import { mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { decide, guardedRule } from '../../src/measure/judge/decide.ts';
import type { Limits } from '../../src/measure/types.ts';
import { sha256 } from '../../src/record/chain/chain.ts';
import { parseRecord } from '../../src/record/chain/parse-record.ts';
import type { NewEntry, Opening } from '../../src/record/entries/entries.ts';
import { JobRecord } from '../../src/record/store/record.ts';
import { type Measured, median } from './benchmark.ts';
import { groundPad, padOf, resistorBoard } from './resistor-board.ts';
import { TouchRig } from './touch-rig.ts';

export const name = 'record-append';
export const claim =
  'a capture appended to a job record (checked, sealed, written, synced) against a bare write and sync of the same bytes';

/**
 * A disk that only takes a sync into its own memory answers in a tenth of a millisecond, about as long as checking, sealing and folding an entry; one that
 * flushes takes some milliseconds, and then the ratio is near one. So the ratio guards against a second sync or a second write.
 */
const ratioTarget = 2.5;
/** What an append costs beside the disk, against the 36 ms that the probe itself looks at a touch: nobody waits for it. */
const [touchMs, shareTarget] = [36, 0.02];

const appends = 200;
const warmUps = 20;
/** On the disk of the checkout: a temporary folder may be in memory, where a sync costs nothing. */
const folder = fileURLToPath(new URL('../../dist/', import.meta.url));

const guideText = 'id: resistor-row\n';
/** A job's checks come one after another, each with a few attempts. */
const checks = Array.from({ length: 44 }, (_, i) => `check-${i}`);
const opening: Opening = {
  tool: 'ohmwright bench',
  guide: {
    id: 'resistor-row',
    title: 'A row of resistors',
    sha256: sha256(guideText),
    text: guideText,
    checks: checks.map((id) => ({ id, title: 'One of the row', kind: 'resistance' })),
  },
  device: { maker: 'Nobody', name: 'Row', revision: 'A' },
  revision: { holds: true },
};

type CaptureEntry = Extract<NewEntry, { kind: 'capture' }>;

/** Returns an entry as a session makes it of a touch on 47 ohm. */
function captureEntry(): Omit<CaptureEntry, 'check' | 'attempt'> {
  const rig = new TouchRig({ guide: resistorBoard([47]), seed: 12 });
  const { outcome } = rig.touch(padOf(0), groundPad);
  if (outcome?.kind !== 'captured') throw new Error('the touch was not captured');
  const limits: Limits = { quantity: 'resistance', max: 100 };
  const { value, u, dof, state } = outcome.reading;
  return {
    kind: 'capture',
    phase: 'before',
    quantity: 'resistance',
    limits,
    rule: guardedRule,
    level: 'normal',
    power: 'off',
    by: 'settled',
    capture: { window: outcome.window, contact: outcome.contact, probeSerial: 12, calibration: 'nominal' },
    reading: { value, u, dof, state },
    ...decide(outcome.reading, limits, guardedRule),
  };
}

/** Returns the median ratio; the two take turns on the same disk. */
export async function measure(): Promise<Measured> {
  const entry = captureEntry();
  mkdirSync(folder, { recursive: true });
  const dir = mkdtempSync(join(folder, 'bench-record-'));
  try {
    const record = await JobRecord.create(dir, opening);
    const bare = await open(join(dir, 'bare'), 'a');
    const recordMs: number[] = [];
    const bareMs: number[] = [];
    let line = Buffer.alloc(0);
    for (let n = 0; n < warmUps + appends; n++) {
      const place = { check: checks[n % checks.length]!, attempt: 1 + Math.floor(n / checks.length) };
      const startMs = performance.now();
      await record.append({ ...entry, ...place });
      const appendedMs = performance.now();
      if (line.length === 0) line = lastLine(record.path);
      const bareStartMs = performance.now();
      await bare.write(line, 0, line.length, null);
      await bare.datasync();
      if (n < warmUps) continue;
      bareMs.push(performance.now() - bareStartMs);
      recordMs.push(appendedMs - startMs);
    }
    await bare.close();
    await record.close();
    // what the file itself holds, whatever was promised
    const captures = parseRecord(readFileSync(record.path)).lines.filter(
      ({ entry }) => entry.kind === 'capture',
    ).length;
    if (captures !== warmUps + appends) throw new Error(`${captures} of ${warmUps + appends} captures are in the file`);
    return {
      figures: [
        {
          what: 'append / bare write and sync',
          value: median(recordMs) / median(bareMs),
          sense: 'at most',
          target: ratioTarget,
        },
        {
          what: 'append above the bare one / time of one touch',
          value: (median(recordMs) - median(bareMs)) / touchMs,
          sense: 'at most',
          target: shareTarget,
        },
      ],
      work: { appends: recordMs.length, bytes: line.length, captures },
      numbers: { appendMs: median(recordMs), bareMs: median(bareMs) },
    };
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
}

function lastLine(path: string): Buffer<ArrayBuffer> {
  const bytes = readFileSync(path);
  return Buffer.from(bytes.subarray(bytes.lastIndexOf(0x0a, bytes.length - 2) + 1));
}
