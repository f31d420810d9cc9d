import type { PresentedStandard } from '../../calibrate/standards/presented-standards.ts';
import { readWindow } from '../../measure/reading/read-window.ts';
import type { CaptureWindow, Reading } from '../../measure/types.ts';
import type { Prompt } from '../../ports/prompt.ts';
import {
  type CalibrationEffect,
  type CalibrationEvent,
  type CalibrationState,
  isTaken,
  type StandardState,
  standardInHand,
} from './calibration-state.ts';
import { chooseStandard, isEndDone } from './choose-standard.ts';
import { freshStandard } from './open-calibration.ts';
import { isSameAgain, strangeReading } from './reading-doubt.ts';
import { pointFrom, refitted } from './refitted.ts';

/** Returns the next state and what is to be done about it. Pure. */
export function stepCalibration(
  before: CalibrationState,
  event: CalibrationEvent,
): { state: CalibrationState; effects: CalibrationEffect[] } {
  const session = new Transition(before);
  if (before.end === null) session.take(event);
  return { state: session.state, effects: session.effects };
}

class Transition {
  readonly effects: CalibrationEffect[] = [];
  readonly state: CalibrationState;

  constructor(before: CalibrationState) {
    this.state = { ...before };
  }

  take(event: CalibrationEvent): void {
    const { state } = this;
    switch (event.type) {
      case 'connected':
        Object.assign(state, {
          connected: true,
          identity: event.identity,
          before: event.before,
          linkText: `probe found on ${event.path}`,
          meta: { ...state.meta, probeSerial: event.identity.probeSerial },
        });
        this.#goOn();
        return;
      case 'disconnected':
        Object.assign(state, { connected: false, linkText: event.why, stage: 'connecting' });
        return;
      case 'mode-set':
        if (state.stage === 'arming') this.#ask();
        return;
      case 'mode-refused':
        this.#say('There is a voltage on the tips: take them off it. The probe measures no resistance there.', true);
        return;
      case 'live':
        state.live = event.on;
        if (event.on) this.#sound('live');
        else this.#afterLive();
        return;
      case 'make':
        if (state.stage === 'asking') Object.assign(state, { stage: 'reading', message: null });
        return;
      case 'settling':
        state.progress = event.progress;
        return;
      case 'captured':
        this.#captured(event.window, event.reading);
        return;
      case 'unsteady':
        if (state.stage === 'check') this.#endWithoutCheck();
        else if (state.stage === 'reading' || state.stage === 'asking') {
          this.#sound('unsteady');
          this.#wait(`Not steady (${event.why}): lift, and touch again.`);
        }
        return;
      case 'lift':
        this.#lifted();
        return;
      case 'skip':
        this.#skip();
        return;
      case 'again':
        this.#again();
        return;
      case 'add':
        this.#add(event.standard);
        return;
      case 'finish':
        if (state.connected) this.#readCheck();
        return;
      case 'quit':
        state.end = 'left';
        this.effects.push({ do: 'finish' });
        return;
    }
  }

  /** The voltage is gone: the setting in hand is read anew. */
  #afterLive(): void {
    if (this.state.stage === 'check') this.#readCheck();
    else if (this.state.step < 0) this.#goOn();
    else this.#arm();
  }

  #goOn(): void {
    const { state } = this;
    const chosen = chooseStandard(state);
    state.at = chosen?.id ?? null;
    if (chosen === null) {
      if (state.isOpenEnded) this.#askForMore();
      else this.#readCheck();
      return;
    }
    state.step = chosen.taken.indexOf(null);
    this.#arm();
  }

  /** Sets the probe for the setting in hand; a touch that stands is read on. */
  #arm(): void {
    const { state } = this;
    const hand = standardInHand(state);
    if (hand === null || !state.connected) return;
    if (state.stage !== 'reading') state.stage = 'arming';
    state.progress = 0;
    const watch = hand.standard.kind === 'open' ? 'air' : 'touch';
    this.effects.push({ do: 'mode', mode: { combination: hand.combinations[state.step]!, watch } });
  }

  #askForMore(): void {
    this.state.stage = 'asking';
    this.#prompt('wait', 'next-standard');
  }

  #ask(): void {
    const { state } = this;
    const hand = standardInHand(state);
    if (hand === null) return;
    state.stage = 'asking';
    const { kind } = hand.standard;
    if (kind === 'short') this.#prompt('short-tips');
    else if (kind === 'open') this.#prompt('wait', 'open');
    else this.#prompt('touch');
  }

  #captured(window: CaptureWindow, reading: Reading): void {
    const { state } = this;
    if (state.stage === 'check') {
      this.#checked(window);
      return;
    }
    const hand = standardInHand(state);
    if (hand === null || (state.stage !== 'reading' && state.stage !== 'asking')) return;
    state.stage = 'reading';
    state.last = reading;
    const strange = hand.taken.every((point) => point === null) ? strangeReading(hand, reading) : null;
    if (strange !== null && !isSameAgain(state, hand, reading)) {
      state.refused = { id: hand.id, ohm: reading.value };
      this.#sound('borderline');
      this.#wait(`${strange} Lift; touch the right one, or the same again if it is meant.`);
      return;
    }
    const point = pointFrom(window, hand, state.step);
    this.#change(hand.id, (one) => ({ ...one, taken: one.taken.with(state.step, point) }));
    state.step = standardInHand(state)!.taken.indexOf(null);
    if (state.step >= 0) {
      this.#arm();
      return;
    }
    state.refused = null;
    Object.assign(state, refitted(state));
    this.#sound('pass');
    state.message = null;
    if (hand.standard.kind === 'open') {
      state.stage = 'lifting';
      this.#goOn();
    } else this.#wait(null);
  }

  /** Everything of this touch is read, or it was no good: nothing more until the tips lift. */
  #wait(text: string | null): void {
    const { state } = this;
    state.stage = 'lifting';
    if (text !== null) state.message = { text, isTrouble: true };
    this.#prompt('lift');
  }

  #lifted(): void {
    const { state } = this;
    if (state.stage === 'lifting') this.#goOn();
    else if (state.stage === 'reading') {
      this.#say('Lifted too soon: touch it again, the rest is still to be read.', true);
      this.#goOn();
    }
  }

  #skip(): void {
    const { state } = this;
    const hand = standardInHand(state);
    if (hand === null || state.stage === 'check') return;
    this.#change(hand.id, (one) => ({ ...one, skipped: true, taken: one.taken.map(() => null) }));
    Object.assign(state, refitted(state));
    state.stage = 'lifting';
    this.#goOn();
  }

  /**
   * Takes the last standard that was read once more; while one is being read, that one from its
   * start.
   */
  #again(): void {
    const { state } = this;
    const hand = standardInHand(state);
    const begun = hand?.taken.some((point) => point !== null) === true;
    const target = begun ? hand : (state.standards.filter(isTaken).at(-1) ?? null);
    if (target === null || !state.connected) return;
    this.#change(target.id, (one) => ({ ...one, skipped: false, taken: one.taken.map(() => null) }));
    Object.assign(state, refitted(state));
    Object.assign(state, { at: target.id, step: 0, stage: 'arming' });
    this.#arm();
  }

  #add(standard: PresentedStandard): void {
    const { state } = this;
    // the same one named again is read again
    state.standards = [...state.standards.filter(({ id }) => id !== standard.id), freshStandard(standard)];
    if (state.stage === 'connecting' || state.stage === 'reading' || state.stage === 'lifting') return;
    const isFree = standardInHand(state)?.taken.every((point) => point === null) !== false;
    if (isFree && isEndDone(state)) {
      Object.assign(state, { at: standard.id, step: 0, stage: 'arming' });
      this.#arm();
    }
  }

  #readCheck(): void {
    const { state } = this;
    Object.assign(state, { at: null, stage: 'check', progress: 0 });
    if (state.fit?.calibration == null) {
      this.#endWithoutCheck();
      return;
    }
    this.#prompt('wait', 'check-resistor');
    this.effects.push({ do: 'mode', mode: { combination: { range: 2, level: 'normal' }, watch: 'check' } });
  }

  #checked(window: CaptureWindow): void {
    const { state } = this;
    const reading = readWindow(window, state.fit!.calibration!);
    const repeat = reading.parts.find(({ name }) => name === 'repeatability')?.u ?? 0;
    if (reading.state === 'in-range') state.check = { ohm: reading.value, uOhm: repeat };
    this.#endWithoutCheck();
  }

  #endWithoutCheck(): void {
    this.state.stage = 'ended';
    this.state.end = 'done';
    this.effects.push({ do: 'finish' });
  }

  #change(id: string, edit: (standard: StandardState) => StandardState): void {
    this.state.standards = this.state.standards.map((one) => (one.id === id ? edit(one) : one));
  }

  #say(text: string, isTrouble: boolean): void {
    this.state.message = { text, isTrouble };
  }

  #sound(sound: Extract<CalibrationEffect, { do: 'sound' }>['sound']): void {
    this.effects.push({ do: 'sound', sound });
  }

  #prompt(act: 'short-tips' | 'wait' | 'touch' | 'lift', why?: Prompt['why']): void {
    const { state } = this;
    state.prompts += 1;
    this.effects.push({ do: 'prompt', prompt: { id: `c${state.prompts}`, act, why, standard: state.at ?? '' } });
  }
}
