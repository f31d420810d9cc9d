import { readFileSync } from 'node:fs';
import { parseGuide } from '../../../src/checks/guides.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import type { EntryOf } from '../../../src/record/entries/entries.ts';
import { noReadings, type RecentReadings, withBatch } from '../../../src/session/engine/recent-readings.ts';
import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { type JobView, jobView } from '../../../src/view/job/job-view.ts';
import { freshUi, type KeyPress, type UiState } from '../../../src/view/job/keyboard.ts';
import { uiStep } from '../../../src/view/job/keys.ts';
import { batchAt, seated } from '../../support/batches.ts';
import { captured, connected, DryBench, type DryHow, lift, make } from '../../support/dry-bench.ts';

/** Returns the example guide of the field recorder: long texts, every kind of check. */
export function recorderGuide(): Guide {
  const parsed = parseGuide(readFileSync('examples/field-recorder.yaml', 'utf8'), 'field-recorder.yaml');
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.guide;
}

const opened: EntryOf<'opened'> = {
  kind: 'opened',
  format: 1,
  job: 'bench-1',
  tool: 'ohmwright 0.1.0',
  guide: { id: 'g', title: 'Guide', sha256: '0'.repeat(64), text: '', checks: [] },
  device: { maker: 'Orrelby Works', name: 'Wrenlet', revision: 'B', serial: 'W-0042' },
  ticket: 'T-17',
  symptom: 'record key dead',
  revision: { holds: true },
  n: 1,
  prev: '0'.repeat(64),
  at: '2026-01-01T00:00:00.000Z',
};

/** A person at a screen without link, disk or terminal: what is given goes through reducer, live state and keyboard. */
export class DrySession {
  readonly bench: DryBench;
  live: RecentReadings = noReadings();
  ui: UiState = freshUi();
  left = false;
  #tUs = 0;

  constructor(guide: Guide = recorderGuide(), how: DryHow = {}) {
    const checks = guide.checks.map(({ id, title, kind }) => ({ id, title, kind }));
    this.bench = new DryBench(guide, [{ ...opened, guide: { ...opened.guide, checks } }], how);
  }

  get view(): JobView {
    return jobView(this.bench.state, this.live, this.ui);
  }

  /** Readings at a resistance for so many milliseconds. */
  read(ohm: number, ms = 100, bits: number = seated): this {
    for (const end = this.#tUs + ms * 1000; this.#tUs < end; this.#tUs += 8 * 884) {
      this.live = withBatch(this.live, batchAt(ohm, this.#tUs, bits), nominalCalibration);
    }
    return this;
  }

  air(ms = 100): this {
    return this.read(2e7, ms, flagBits.excitation | flagBits.auto);
  }

  give(...events: JobSessionEvent[]): this {
    this.bench.give(...events);
    return this;
  }

  /** Keys one after another: characters of a text, or a named key. */
  keys(...presses: (string | KeyPress)[]): this {
    for (const press of presses) {
      const each = typeof press === 'string' ? [...press].map((input): KeyPress => ({ input })) : [press];
      for (const key of each) {
        const step = uiStep(this.ui, key, this.view);
        this.ui = step.ui;
        this.left ||= step.leave === true;
        this.give(...step.events);
      }
    }
    return this;
  }

  /** Connected, every caution acknowledged by its name, the probe proved. */
  opened(): this {
    this.give(connected);
    for (const { id } of this.bench.state.guide.cautions) this.keys(id, enter);
    this.bench.touch(0.002).happen(make, captured(100));
    return this.air();
  }

  /** Goes to a check by the list. */
  choose(check: string): this {
    return this.give({ type: 'jump', check });
  }

  /** A touch that is captured and still held. */
  hold(ohm: number): this {
    this.air(600).read(ohm, 300);
    this.bench.happen(make, captured(ohm));
    return this;
  }

  lift(): this {
    this.bench.happen(lift);
    return this.air();
  }
}

export const enter: KeyPress = { input: '', return: true };
export const escapeKey: KeyPress = { input: '', escape: true };
export const up: KeyPress = { input: '', up: true };
export const down: KeyPress = { input: '', down: true };
