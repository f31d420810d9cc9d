import { limitsOf } from '../../checks/registry.ts';
import { proofBounds } from '../../measure/judge/proof-bounds.ts';
import { calibrationEnd } from '../../measure/reading/calibration-age.ts';
import { calibrationRemark } from '../../measure/reading/calibration-remark.ts';
import { nominalCalibration } from '../../measure/reading/nominal.ts';
import type { Calibration, Limits, Outcome } from '../../measure/types.ts';
import { feelsTips } from '../../protocol/flags.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import { liveReading, type RecentReadings, tipContact } from '../../session/engine/recent-readings.ts';
import { checkInHand, type JobSessionState } from '../../session/job/job-session-state.ts';
import { mayChoose } from '../../session/job/task-list.ts';
import { type Needle, needleAt, openScale, type Scale, scaleFor } from '../readings/scale.ts';
import { type TracePoint, tracePoints } from '../readings/trace.ts';
import { plainLine } from '../text/plain-line.ts';
import { answerLines, foundAt } from '../words/conclusion.ts';
import { benchHelp, type HelpView } from '../words/key-help.ts';
import { linkWords } from '../words/link.ts';
import { type ReadingParts, readingParts } from '../words/reading.ts';
import { repairLines } from '../words/summary.ts';
import { type Ask, askOf } from './ask.ts';
import { type CheckRow, checkRows, type LastResult, latestResult, resultInHand } from './check-rows.ts';
import { type ContactView, contactOf } from './contact.ts';
import { type Headline, headlineOf } from './headline.ts';
import {
  type BeforeRepair,
  becauseOf,
  beforeRepairOf,
  type ConclusionView,
  concludedLine,
  conclusionOf,
  type NextCheck,
  nextCheckOf,
  type SuspectRow,
  suspectRows,
} from './isolation.ts';
import type { UiState } from './keyboard.ts';
import { type ToldView, toldView } from './told.ts';

/**
 * Everything that the live screen shows, as plain data. Texts are single lines without control
 * characters.
 */
export interface JobView extends ToldView {
  job: { id: string; device: string; revision: string; ticket: string; symptom: string; serial: string };
  phase: JobSessionState['phase'];
  paused: boolean;
  link: LinkHealth;
  /** What to do now; null before the probe is found and after the end. */
  ask: Ask | null;
  /** What outshines the pads: trouble, a pause, an outcome held until the tips lift. */
  headline: Headline | null;
  reading: ReadingParts & { /** The number is on record, not what the tips read now. */ held: boolean };
  /** Null while nothing with limits is measured. */
  scale: { scale: Scale; needle: Needle | null; limits: Limits } | null;
  contact: ContactView;
  trace: TracePoint[];
  checks: CheckRow[];
  /** Id of the check in hand; null during cautions and proofs. */
  check: string | null;
  /** Checks may be chosen from the list: cautions and opening proofs are done. */
  canChoose: boolean;
  /** The job can be given up: it has had a probe. */
  canAbandon: boolean;
  last: LastResult | null;
  cautions: { id: string; title: string; text: string }[];
  question: Question | null;
  /** What may be wrong, most probable first; empty where nothing tells suspects apart. */
  suspects: SuspectRow[];
  /** Why the check in hand was proposed. */
  because: string | null;
  /** What the check in hand came to before a repair. */
  beforeRepair: BeforeRepair | null;
  /** Why the readings are not explained well; null when they are. */
  doubt: string | null;
  /** What comes next, once what the check in hand came to is known. */
  next: NextCheck | null;
  /** What isolation came to, in one line, while the probe proves itself at the end. */
  concluded: string | null;
  /** A conclusion follows the checks. */
  concludes: boolean;
  /** What isolation came to, while it is asked what is to be done about it. */
  conclusion: ConclusionView | null;
  /** At the end: where the fault was found, what to do and what it costs, what was done. */
  answer: string[];
  /** Units and links at which the fault was found. */
  foundAt: string[];
  /** Units that may be put down as swapped, and the one that is about to be (by id). */
  units: { id: string; name: string }[];
  unit: string | null;
  line: { label: string; text: string } | null;
  cursor: string | null;
  leaving: boolean;
  message: string | null;
  help: HelpView | null;
}

interface LinkHealth {
  ok: boolean;
  line: string;
  text: string;
  probe: string;
  /** Which calibration is in force, in a few words. */
  calibration: string;
  /** Its proofs of the past drift. */
  drifts: boolean;
  gaps: number;
  lost: number;
  /**
   * Outcome of each proof (tips together, check resistor), before and after the checks; null: not
   * done.
   */
  proofs: { opening: (Outcome | null)[]; closing: (Outcome | null)[] };
}

/**
 * What only a person can say. A caution is acknowledged by typing its name; a repair is said to be
 * done.
 */
export type Question =
  | { kind: 'caution'; prompt: string; id: string; text: string; named: string }
  | { kind: 'look'; prompt: string; how: string; text: string }
  /** Which of the conclusion's repairs, or none. */
  | { kind: 'choose'; prompt: string; options: string[] /** Repairs of the guide, planned or not. */; all: string[] }
  | { kind: 'repair'; prompt: string; text: string };

/**
 * Returns what the screen shows of a session, its readings and its keyboard. Pure; computes
 * readings only here, once a frame.
 */
export function jobView(state: JobSessionState, live: RecentReadings, ui: UiState): JobView {
  const result = state.run?.outcome == null ? null : resultInHand(state);
  const held = result?.reading ?? null;
  const feels = state.probe !== null && feelsTips(state.probe.identity);
  const limits = limitsInHand(state);
  const contact = state.connected ? tipContact(live, feels, limits?.quantity ?? 'resistance') : 'none';
  const running = contact === 'air' || !state.connected ? null : liveReading(live);
  const reading = held ?? running;
  const scale = limits === null ? null : scaleFor(limits);
  const fits = reading !== null && reading.state !== 'unreadable' && reading.quantity === scale?.quantity;
  return {
    ...toldView(state),
    job: jobOf(state),
    phase: state.phase,
    paused: state.paused,
    link: linkOf(state, live),
    ask: askOf(state),
    headline: headlineOf(state, result),
    reading: { ...readingParts(reading), held: held !== null },
    scale:
      scale === null || limits === null
        ? null
        : { scale, limits, needle: fits ? needleAt(scale, pointed(reading.state, reading.value)) : null },
    contact: contactOf(state, contact),
    trace: state.connected ? tracePoints(live, scale ?? openScale('resistance'), feels) : [],
    checks: checkRows(state),
    check: checkInHand(state)?.id ?? null,
    canAbandon: state.phase === 'running',
    canChoose: state.phase === 'running' && mayChoose(state.tasks[state.at]),
    last: latestResult(state),
    cautions: cautionsNow(state),
    question: questionOf(state, ui),
    suspects: suspectRows(state),
    because: becauseOf(state),
    beforeRepair: beforeRepairOf(state),
    doubt: state.insight?.belief.doubt == null ? null : plainLine(state.insight.belief.doubt),
    next: nextCheckOf(state),
    concluded: concludedLine(state),
    concludes: state.planSettings.concludes,
    conclusion: conclusionOf(state),
    answer: state.phase === 'closed' ? [...answerLines(state.job), ...repairLines(state.job)].map(plainLine) : [],
    foundAt: foundAt(state.guide, state.job),
    units: state.guide.units.map(({ id, name }) => ({ id, name: plainLine(name) })),
    unit: ui.unit,
    line: ui.line === null ? null : { label: lineLabel(state, ui), text: ui.line.text },
    cursor: ui.cursor,
    leaving: ui.mode === 'leave',
    message: ui.message,
    help: ui.mode === 'help' ? { sections: benchHelp, page: ui.page } : null,
  };
}

function pointed(state: string, value: number): number {
  return state === 'above-range' ? Number.POSITIVE_INFINITY : value;
}

function jobOf(state: JobSessionState): JobView['job'] {
  const opened = state.job.opened;
  const { maker, name } = state.guide.device;
  return {
    id: plainLine(state.job.job ?? ''),
    device: plainLine(`${maker} ${name}`),
    revision: plainLine(opened?.device.revision ?? ''),
    ticket: plainLine(opened?.ticket ?? ''),
    symptom: plainLine(opened?.symptom ?? ''),
    serial: plainLine(opened?.device.serial ?? ''),
  };
}

function linkOf(state: JobSessionState, live: RecentReadings): LinkHealth {
  const { probe, job } = state;
  return {
    ok: state.connected,
    line: linkWords(state).line,
    text: plainLine(state.linkText),
    probe: probe === null ? '' : `probe ${serialText(probe.identity.probeSerial, 'with no serial')}`,
    calibration: calibrationText(probe?.calibration ?? null),
    drifts: probe !== null && probe.drift !== null,
    gaps: job.counts.gaps,
    lost: live.lost,
    proofs: { opening: proofsOf(job.proofs.opening), closing: proofsOf(job.proofs.closing) },
  };
}

function calibrationText(calibration: Calibration | null): string {
  if (calibration === null) return '';
  const remark = calibrationRemark(calibration, null);
  if (remark !== null) return remark;
  const end = calibrationEnd(calibration);
  return end === null ? plainLine(`calibration ${calibration.id}`) : `calibrated, valid to ${end}`;
}

function proofsOf(done: JobSessionState['job']['proofs']['opening']): (Outcome | null)[] {
  return [done['shorted-tips']?.outcome ?? null, done['check-resistor']?.outcome ?? null];
}

function limitsInHand(state: JobSessionState): Limits | null {
  const task = state.tasks[state.at];
  if (task?.kind === 'proof')
    return { quantity: 'resistance', ...proofBounds(task.what, state.probe?.calibration ?? nominalCalibration) };
  const check = checkInHand(state);
  return check === null ? null : limitsOf(check);
}

/**
 * Cautions for the state that the device is in now: the one asked about, those that always hold,
 * power on, opened.
 */
function cautionsNow(state: JobSessionState): JobView['cautions'] {
  const check = checkInHand(state);
  const applies = (when: string) =>
    when === 'always' ||
    (when === 'power-on' && check?.power === 'on') ||
    (when === 'opened' && check !== null && check.access !== undefined);
  return state.guide.cautions
    .filter((caution) => applies(caution.when))
    .map(({ id, title, text }) => ({ id, title: plainLine(title), text: plainLine(text) }));
}

function questionOf(state: JobSessionState, ui: UiState): Question | null {
  const run = state.run;
  const task = state.tasks[state.at];
  if (run?.stage !== 'asking' || run.prompt === null || state.paused) return null;
  const { id: prompt, act } = run.prompt;
  if (act === 'choose') {
    const all = state.guide.repairs.map(({ id }) => id);
    return { kind: 'choose', prompt, options: run.prompt.options ?? [], all };
  }
  if (act === 'repair') return { kind: 'repair', prompt, text: repairName(state, run.prompt.repair) };
  if (act !== 'answer') return null;
  if (task?.kind === 'caution') {
    const caution = state.guide.cautions.find((c) => c.id === task.id);
    const text = plainLine(caution?.text ?? '');
    return { kind: 'caution', prompt: run.prompt.id, id: task.id, text, named: ui.named };
  }
  const check = checkInHand(state);
  if (check === null) return null;
  const how = plainLine(check.prompt);
  return { kind: 'look', prompt: run.prompt.id, how, text: plainLine(run.prompt.question ?? '') };
}

function repairName({ guide }: JobSessionState, repair: string | undefined): string {
  return plainLine(guide.repairs.find(({ id }) => id === repair)?.name ?? '');
}

function lineLabel(state: JobSessionState, { line }: UiState): string {
  if (line?.what === 'abandon') return 'abandon the job, because';
  if (line?.what !== 'skip') return 'note';
  const check = state.guide.checks.find((c) => c.id === line.check);
  return `skip ${plainLine(check?.title ?? '')}, because`;
}
