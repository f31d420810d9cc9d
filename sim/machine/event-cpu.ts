import { avrInstruction, CPU } from 'avr8js';
import { frequentOf, other, runFrequent } from './frequent.ts';

interface ClockEvent {
  at: number;
  readonly callback: () => void;
  next: ClockEvent | null;
}

/** An interrupt source of the chip, as the core takes it. */
export type Interrupt = Parameters<CPU['setInterruptFlag']>[0];

/** Bytes of SRAM in the ATmega328P. */
export const sramBytes = 2048;

const opcodeSleep = 0x9588;
const opcodeSei = 0x9478;
const opcodeReti = 0x9518;
const addressSmcr = 0x53;
const addressSreg = 0x5f;
const sleepEnable = 0x01;
const interruptEnable = 0x80;
/** Cycles to wake from idle sleep (ATmega328P data sheet, 'Interrupt response time'). */
const wakeCycles = 4;

/** Which of the frequent instructions each opcode is, if it is one. */
const kinds = Uint8Array.from({ length: 0x10000 }, (_, opcode) => frequentOf(opcode));

/**
 * AVR core with an event queue of its own, so that sleep can be skipped up to the next due event.
 *
 * Compared with the base class: all due events run (not one an instruction), an event may clear or
 * re-add itself, one instruction runs after SEI and RETI before the next interrupt, and SLEEP
 * really sleeps.
 */
export class EventCpu extends CPU {
  #head: ClockEvent | null = null;
  /** Cycles slept so far. */
  sleptCycles = 0;
  /**
   * Set from an event to leave {@link runUntil} at once (a reset); the core is then used no more.
   */
  stopped = false;
  #sleeping = false;
  #limit = 0;
  /** When the first event is due; infinite without one. */
  #due = Number.POSITIVE_INFINITY;

  constructor(program: Uint16Array<ArrayBuffer>) {
    super(program, sramBytes);
    this.#head = null;
  }

  override addClockEvent(callback: () => void, cycles: number): () => void {
    const at = this.cycles + Math.max(1, cycles);
    let before: ClockEvent | null = null;
    let after = this.#head;
    while (after !== null && after.at <= at) {
      before = after;
      after = after.next;
    }
    const event: ClockEvent = { at, callback, next: after };
    if (before === null) this.#setHead(event);
    else before.next = event;
    return callback;
  }

  override clearClockEvent(callback: () => void): boolean {
    let before: ClockEvent | null = null;
    let event = this.#head;
    while (event !== null) {
      if (event.callback === callback) {
        if (before === null) this.#setHead(event.next);
        else before.next = event.next;
        return true;
      }
      before = event;
      event = event.next;
    }
    return false;
  }

  override updateClockEvent(callback: () => void, cycles: number): boolean {
    if (!this.clearClockEvent(callback)) return false;
    this.addClockEvent(callback, cycles);
    return true;
  }

  #setHead(event: ClockEvent | null): void {
    this.#head = event;
    this.#due = event === null ? Number.POSITIVE_INFINITY : event.at;
  }

  /** Runs every due event, then takes the most urgent interrupt if interrupts are on. */
  override tick(): void {
    let event = this.#head;
    while (event !== null && event.at <= this.cycles) {
      this.#setHead(event.next);
      event.callback();
      event = this.#head;
    }
    if (this.nextInterrupt >= 0 && this.data[addressSreg]! & interruptEnable && !this.stopped) super.tick();
  }

  /**
   * Makes a run that is under way end at `cycles` already, because something in the world will
   * happen then.
   */
  endRunAt(cycles: number): void {
    if (cycles < this.#limit) this.#limit = cycles;
  }

  /**
   * Runs until the cycle counter reaches `target` (it may pass it by one instruction) or {@link
   * stopped} is set.
   */
  runUntil(target: number): void {
    const { progMem, data } = this;
    this.#limit = target;
    while (this.cycles < this.#limit && !this.stopped) {
      if (this.#sleeping) {
        if (!this.#wakeFromSleep()) return;
        continue;
      }
      const opcode = progMem[this.pc]!;
      const kind = kinds[opcode]!;
      if (kind > other) runFrequent(this, kind, opcode);
      else if (opcode === opcodeSleep && data[addressSmcr]! & sleepEnable) {
        this.pc++;
        this.cycles++;
        this.#sleeping = true;
        continue;
      } else {
        avrInstruction(this);
        if (opcode === opcodeSei || opcode === opcodeReti) continue;
      }
      if (this.nextInterrupt >= 0 || this.cycles >= this.#due) this.tick();
    }
  }

  /**
   * Jumps to the next event (at most to the run's end); returns false when the end was reached
   * asleep.
   */
  #wakeFromSleep(): boolean {
    if (!(this.nextInterrupt >= 0 && this.data[addressSreg]! & interruptEnable)) {
      const due = this.#due;
      const to = Math.min(due, this.#limit);
      if (to > this.cycles) {
        this.sleptCycles += to - this.cycles;
        this.cycles = to;
      }
      if (due > to) return false;
    }
    const pc = this.pc;
    this.tick();
    if (this.pc !== pc) {
      this.#sleeping = false;
      this.cycles += wakeCycles;
    }
    return true;
  }
}
