import { OhmwrightError } from '../../src/errors/ohmwright-error.ts';
import type { EventCpu, Interrupt } from './event-cpu.ts';

const TIFR1 = 0x36;
const TIMSK1 = 0x6f;
const TCCR1A = 0x80;
const TCCR1B = 0x81;
const TCNT1L = 0x84;
const OCR1AL = 0x88;
const OCR1BL = 0x8a;
const dividers = [0, 1, 8, 64, 256, 1024, 0, 0] as const;
const period = 0x10000;
/**
 * Ticks after which the tick counter is taken back by whole periods, far below 2^31 so that bit
 * operations hold.
 */
const foldTicks = 0x40000000;

const interrupt = (address: number, mask: number): Interrupt => ({
  address,
  flagRegister: TIFR1,
  flagMask: mask,
  enableRegister: TIMSK1,
  enableMask: mask,
});

/**
 * Timer 1 in normal mode: counter, overflow and two compare interrupts, 16-bit accesses through the
 * shared high byte.
 *
 * Nothing is scheduled for single ticks: flags are derived when a register is looked at and one
 * event is armed for the next enabled interrupt, so sleep can be skipped at any prescaler. Other
 * modes aren't modelled and say so.
 */
export class Timer1 {
  readonly #cpu: EventCpu;
  readonly #overflow = interrupt(0x1a, 1);
  readonly #compare = [interrupt(0x16, 2), interrupt(0x18, 4)] as const;
  #divider = 0;
  #baseCycles = 0;
  #high = 0;
  #seenTicks = 0;
  readonly #match = [0, 0];
  #armed = false;

  constructor(cpu: EventCpu) {
    this.#cpu = cpu;
    const { data, readHooks, writeHooks } = cpu;
    readHooks[TCNT1L] = () => {
      this.#sync();
      const count = this.#ticks() & 0xffff;
      this.#high = count >> 8;
      data[TCNT1L + 1] = this.#high;
      data[TCNT1L] = count & 0xff;
      return count & 0xff;
    };
    writeHooks[TCNT1L + 1] = (value) => {
      this.#high = value;
      return true;
    };
    writeHooks[TCNT1L] = (value) => {
      this.#sync();
      this.#setCount((this.#high << 8) | value);
      return true;
    };
    for (const [index, address] of [OCR1AL, OCR1BL].entries()) {
      writeHooks[address + 1] = (value) => {
        this.#high = value;
        data[address + 1] = value;
        return true;
      };
      writeHooks[address] = (value) => {
        this.#sync();
        this.#match[index] = (this.#high << 8) | value;
        data[address] = value;
        this.#arm();
        return true;
      };
    }
    writeHooks[TCCR1A] = (value) => {
      if (value !== 0) throw unsupported();
      data[TCCR1A] = value;
      return true;
    };
    writeHooks[TCCR1B] = (value) => {
      if (value & 0x18) throw unsupported();
      this.#sync();
      const count = this.#ticks() & 0xffff;
      data[TCCR1B] = value;
      this.#divider = dividers[value & 7]!;
      this.#setCount(count);
      return true;
    };
    readHooks[TIFR1] = () => {
      this.#sync();
      return data[TIFR1]!;
    };
    writeHooks[TIFR1] = (value) => {
      this.#sync();
      for (const each of [this.#overflow, ...this.#compare]) if (value & each.flagMask) cpu.clearInterrupt(each);
      this.#arm();
      return true;
    };
    writeHooks[TIMSK1] = (value) => {
      this.#sync();
      data[TIMSK1] = value;
      for (const each of [this.#overflow, ...this.#compare]) cpu.updateInterruptEnable(each, value);
      this.#arm();
      return true;
    };
  }

  #setCount(count: number): void {
    this.#baseCycles = this.#cpu.cycles - count * this.#divider;
    this.#seenTicks = count;
    this.#arm();
  }

  #ticks(): number {
    return this.#divider === 0 ? this.#seenTicks : Math.floor((this.#cpu.cycles - this.#baseCycles) / this.#divider);
  }

  /** Ticks at which compare unit `index` matches next, seen from the last synchronised tick. */
  #nextMatch(index: number): number {
    return this.#seenTicks + ((this.#match[index]! - this.#seenTicks - 1) & 0xffff) + 1;
  }

  /** Sets the flags of everything that happened since the last look. */
  #sync(): void {
    if (this.#divider === 0) return;
    const now = this.#ticks();
    if (now === this.#seenTicks) return;
    if (Math.floor(now / period) !== Math.floor(this.#seenTicks / period)) this.#cpu.setInterruptFlag(this.#overflow);
    for (const [index, each] of this.#compare.entries())
      if (this.#nextMatch(index) <= now) this.#cpu.setInterruptFlag(each);
    this.#seenTicks = now;
    if (now >= foldTicks) {
      this.#baseCycles += foldTicks * this.#divider;
      this.#seenTicks -= foldTicks;
    }
  }

  readonly #fire = (): void => {
    this.#armed = false;
    this.#sync();
    this.#arm();
  };

  #arm(): void {
    if (this.#armed) this.#cpu.clearClockEvent(this.#fire);
    this.#armed = false;
    if (this.#divider === 0) return;
    const enabled = this.#cpu.data[TIMSK1]!;
    let next = Number.POSITIVE_INFINITY;
    if (enabled & 1) next = (Math.floor(this.#seenTicks / period) + 1) * period;
    for (const [index, each] of this.#compare.entries())
      if (enabled & each.flagMask) next = Math.min(next, this.#nextMatch(index));
    if (next === Number.POSITIVE_INFINITY) return;
    this.#cpu.addClockEvent(this.#fire, this.#baseCycles + next * this.#divider - this.#cpu.cycles);
    this.#armed = true;
  }
}

const unsupported = (): OhmwrightError =>
  new OhmwrightError('sim.unsupported', 'the firmware asks for a mode of timer 1 that the emulator does not have', {
    help: 'Use timer 1 in normal mode, or extend sim/machine/timer1.ts.',
  });
