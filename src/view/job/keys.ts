import type { Answer } from '../../ports/prompt.ts';
import type { JobSessionEvent } from '../../session/job/job-session-state.ts';
import { plainLine } from '../text/plain-line.ts';
import type { JobView } from './job-view.ts';
import type { KeyPress, TypedLine, UiState } from './keyboard.ts';

/**
 * What a key came to: the keyboard's next state, what the session is told, and whether the screen
 * is to be left.
 */
export interface UiStep {
  ui: UiState;
  events: JobSessionEvent[];
  leave?: boolean;
}

/** Longest text that a line takes. */
const longestLine = 400;
const answers: Record<string, Answer> = { y: 'yes', n: 'no', u: 'unsure' };

/**
 * Returns what a key does on the live screen. Pure; `view` is what the person saw when the key went
 * down.
 */
export function uiStep(before: UiState, key: KeyPress, view: JobView): UiStep {
  const ui = { ...before, message: null };
  if (key.ctrl === true) return key.input === 'c' ? left(ui) : { ui: before, events: [] };
  switch (ui.mode) {
    case 'line':
      return lineStep(ui, key, view);
    case 'list':
      return listStep(ui, key, view);
    case 'help':
      if (key.input === '?') return { ui: { ...ui, page: ui.page + 1 }, events: [] };
      return { ui: { ...ui, mode: 'plain' }, events: [] };
    case 'leave':
      return leaveStep(ui, key);
    case 'swap':
      return swapStep(ui, key, view);
    case 'plain':
      return view.question?.kind === 'caution' ? cautionStep(ui, key, view.question) : plainStep(ui, key, view);
  }
}

function plainStep(ui: UiState, key: KeyPress, view: JobView): UiStep {
  if (key.up === true || key.down === true) return openList(ui, view);
  const input = key.input.toLowerCase();
  const answer = answers[input];
  if (answer !== undefined) return answered(ui, view, answer);
  if (/^[0-9]$/.test(input)) return chosen(ui, view, Number(input));
  switch (input) {
    case 'r':
      return onCheck(ui, view, () => ({ ui, events: [{ type: 'repeat', by: 'person' }] }));
    case 'b':
      return backStep(ui, view);
    case 's':
      return onCheck(ui, view, (check) => typing(ui, { what: 'skip', text: '', check }));
    case 'w':
      return typing(ui, { what: 'note', text: '', check: null });
    case 'c':
      return openList(ui, view);
    case 'e':
      if (!view.concludes) return told(ui, 'nothing is concluded from these checks');
      return onCheck(ui, view, () => ({ ui, events: [{ type: 'conclude' }] }));
    case 'x':
      return openUnits(ui, view);
    case 'a':
      if (!view.canAbandon) return told(ui, 'there was no probe yet; q leaves the job open');
      return typing(ui, { what: 'abandon', text: '', check: null });
    case 'p':
      return { ui, events: [{ type: 'pause', on: !view.paused }] };
    case '?':
      return { ui: { ...ui, mode: 'help', page: 0 }, events: [] };
    case 'q':
      return { ui: { ...ui, mode: 'leave' }, events: [] };
    default:
      return { ui, events: [] };
  }
}

function answered(ui: UiState, view: JobView, answer: Answer): UiStep {
  const kind = view.question?.kind;
  if (kind === 'choose') return told(ui, 'a number chooses a repair, 0 none');
  if (kind !== 'look' && kind !== 'repair') return told(ui, 'nothing is asked now');
  return { ui, events: [{ type: 'answer', prompt: view.question!.prompt, answer, by: 'person' }] };
}

/** A number chooses a repair of the conclusion; 0: none. */
function chosen(ui: UiState, view: JobView, n: number): UiStep {
  if (view.question?.kind !== 'choose') return { ui, events: [] };
  const repair = n === 0 ? null : view.question.options[n - 1];
  if (repair === undefined) return told(ui, 'there is no repair with this number');
  return { ui, events: [{ type: 'choose', repair, by: 'person' }] };
}

function onCheck(ui: UiState, view: JobView, then: (check: string) => UiStep): UiStep {
  if (view.check === null) return told(ui, 'this works on a check; none is in hand now');
  if (!view.link.ok) return told(ui, 'there is no probe now; the check in hand is asked for again by itself');
  if (view.paused) return told(ui, 'paused: p goes on');
  return then(view.check);
}

function typing(ui: UiState, line: TypedLine): UiStep {
  return { ui: { ...ui, mode: 'line', line }, events: [] };
}

function lineStep(ui: UiState, key: KeyPress, view: JobView): UiStep {
  const line = ui.line;
  const closed: UiState = { ...ui, mode: 'plain', line: null };
  if (line === null || key.escape === true) return { ui: closed, events: [] };
  if (key.return !== true) return { ui: { ...ui, line: { ...line, text: edited(line.text, key) } }, events: [] };
  const text = plainLine(line.text);
  if (line.what === 'note')
    return text === '' ? { ui: closed, events: [] } : told(closed, 'noted', { type: 'note', text });
  if (text === '') return told(ui, 'that needs a reason; Esc goes back');
  if (line.what === 'abandon') return { ui: closed, events: [{ type: 'abandon', reason: text }], leave: true };
  // while the reason was typed, the tips may have gone on
  if (line.check !== view.check) return told(closed, 'the bench went on meanwhile; nothing was skipped');
  return { ui: closed, events: [{ type: 'skip', reason: text, by: 'person' }] };
}

/**
 * Returns the text after a key; whole graphemes go, and nothing enters that can't stand in a line.
 */
function edited(text: string, key: KeyPress): string {
  if (key.backspace === true) {
    const parts = [...new Intl.Segmenter().segment(text)];
    return text.slice(0, parts.at(-1)?.index ?? 0);
  }
  const typed = key.input.replace(/[\p{Cc}\p{Cs}]/gu, '');
  return text.length + typed.length > longestLine ? text : text + typed;
}

/** Does the check once more that was done last: the bench may be on the next one already. */
function backStep(ui: UiState, view: JobView): UiStep {
  if (!view.link.ok) return told(ui, 'there is no probe now');
  if (view.paused) return told(ui, 'paused: p goes on');
  const check = view.last?.check ?? null;
  if (!view.canChoose || check === null) return told(ui, 'no check was done yet');
  return { ui, events: [{ type: 'jump', check }] };
}

function openList(ui: UiState, view: JobView): UiStep {
  if (!view.link.ok) return told(ui, 'there is no probe now');
  if (view.paused) return told(ui, 'paused: p goes on');
  if (!view.canChoose) return told(ui, 'cautions and the proof of the probe come before any check');
  return { ui: { ...ui, mode: 'list', cursor: view.check ?? view.checks[0]?.id ?? null }, events: [] };
}

function openUnits(ui: UiState, view: JobView): UiStep {
  if (!view.link.ok) return told(ui, 'there is no probe now');
  if (view.paused) return told(ui, 'paused: p goes on');
  const first = view.units[0];
  if (!view.canChoose || first === undefined) return told(ui, 'a swap is put down once the probe is proved');
  return { ui: { ...ui, mode: 'swap', unit: first.id }, events: [] };
}

function swapStep(ui: UiState, key: KeyPress, view: JobView): UiStep {
  const closed: UiState = { ...ui, mode: 'plain', unit: null };
  const at = view.units.findIndex(({ id }) => id === ui.unit);
  const move = (by: number): UiStep => {
    const unit = view.units[Math.min(view.units.length - 1, Math.max(0, at + by))];
    return { ui: { ...ui, unit: unit?.id ?? null }, events: [] };
  };
  if (key.up === true || key.input === 'k') return move(-1);
  if (key.down === true || key.input === 'j') return move(1);
  if (key.return === true && ui.unit !== null) {
    return told(closed, 'swapped: what was done is done again', { type: 'swapped', unit: ui.unit, by: 'person' });
  }
  return key.escape === true || key.input !== '' ? { ui: closed, events: [] } : { ui, events: [] };
}

function listStep(ui: UiState, key: KeyPress, view: JobView): UiStep {
  const closed: UiState = { ...ui, mode: 'plain', cursor: null };
  const at = view.checks.findIndex((row) => row.id === ui.cursor);
  const move = (by: number): UiStep => {
    const row = view.checks[Math.min(view.checks.length - 1, Math.max(0, at + by))];
    return { ui: { ...ui, cursor: row?.id ?? null }, events: [] };
  };
  if (key.up === true || key.input === 'k') return move(-1);
  if (key.down === true || key.input === 'j') return move(1);
  if (key.return === true && ui.cursor !== null) {
    return { ui: closed, events: [{ type: 'jump', check: ui.cursor }] };
  }
  return key.escape === true || key.input !== '' ? { ui: closed, events: [] } : { ui, events: [] };
}

/** The name of the caution has to be typed: a reflex on one key acknowledges nothing. */
function cautionStep(ui: UiState, key: KeyPress, asked: { prompt: string; id: string }): UiStep {
  if (key.escape === true) {
    return { ui: ui.named === '' ? { ...ui, mode: 'leave' } : { ...ui, named: '' }, events: [] };
  }
  if (key.input === '?' && ui.named === '') return { ui: { ...ui, mode: 'help', page: 0 }, events: [] };
  if (key.return !== true) return { ui: { ...ui, named: edited(ui.named, key) }, events: [] };
  const named = ui.named.trim().toLowerCase();
  const next = { ...ui, named: '' };
  const reply = (answer: Answer): UiStep => ({
    ui: next,
    events: [{ type: 'answer', prompt: asked.prompt, answer, by: 'person' }],
  });
  if (named === asked.id.toLowerCase()) return reply('yes');
  if (named === 'no') return reply('no');
  return told(next, `type ${asked.id} and Enter when you have read it, or no and Enter to end the job`);
}

function leaveStep(ui: UiState, key: KeyPress): UiStep {
  const yes = key.return === true || ['y', 'q'].includes(key.input.toLowerCase());
  return yes ? left(ui) : { ui: { ...ui, mode: 'plain' }, events: [] };
}

function left(ui: UiState): UiStep {
  return {
    ui: { ...ui, mode: 'plain', line: null, cursor: null, unit: null },
    events: [{ type: 'quit' }],
    leave: true,
  };
}

function told(ui: UiState, message: string, ...events: JobSessionEvent[]): UiStep {
  return { ui: { ...ui, message }, events };
}
