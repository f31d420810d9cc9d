import type { EventCpu, Interrupt } from './event-cpu.ts';
import { cyclesPerUs } from './time.ts';

const WDTCSR = 0x60;
const MCUSR = 0x54;
const WDIF = 0x80;
const WDIE = 0x40;
const WDCE = 0x10;
const WDE = 0x08;
const WDRF = 0x08;
const timeoutBits = 0x27;
const protectedBits = timeoutBits | WDE;
/** Shortest time-out: 2048 periods of the 128 kHz watchdog oscillator, 16 ms. */
const shortestCycles = 16_000 * cyclesPerUs;
const changeWindowCycles = 4;

/**
 * Watchdog timer: timed change sequence, interrupt and reset modes, WDR. While WDRF is set it can't
 * be turned off, as on the chip.
 */
export class Watchdog {
  readonly #cpu: EventCpu;
  readonly #onReset: () => void;
  #changeUntil = 0;
  readonly #interrupt: Interrupt = {
    address: 0x0c,
    flagRegister: WDTCSR,
    flagMask: WDIF,
    enableRegister: WDTCSR,
    enableMask: WDIE,
  };

  constructor(cpu: EventCpu, onReset: () => void) {
    this.#cpu = cpu;
    this.#onReset = onReset;
    // a watchdog reset leaves the watchdog on, at its shortest time-out
    if (cpu.data[MCUSR]! & WDRF) cpu.data[WDTCSR] = WDE;
    this.#restart();
    cpu.onWatchdogReset = () => this.#restart();
    cpu.writeHooks[WDTCSR] = (value, old) => {
      this.#write(value, old);
      return true;
    };
  }

  #write(value: number, old: number): void {
    const cpu = this.#cpu;
    if (value & WDIF) cpu.clearInterrupt(this.#interrupt);
    let next = (value & ~(WDIF | WDCE)) | (cpu.data[WDTCSR]! & WDIF);
    if (cpu.cycles >= this.#changeUntil) next = (next & ~protectedBits) | (old & protectedBits) | (value & WDE);
    if (cpu.data[MCUSR]! & WDRF) next |= WDE;
    if (value & WDCE && value & WDE) {
      this.#changeUntil = cpu.cycles + changeWindowCycles + 1;
      next |= WDCE;
    }
    cpu.data[WDTCSR] = next;
    cpu.updateInterruptEnable(this.#interrupt, next);
    this.#restart();
  }

  #restart(): void {
    const control = this.#cpu.data[WDTCSR]!;
    this.#cpu.clearClockEvent(this.#expire);
    if (!(control & (WDE | WDIE))) return;
    const step = ((control & 0x20) >> 2) | (control & 0x07);
    this.#cpu.addClockEvent(this.#expire, shortestCycles << step);
  }

  readonly #expire = (): void => {
    const control = this.#cpu.data[WDTCSR]!;
    if (control & WDIE) {
      this.#cpu.setInterruptFlag(this.#interrupt);
      if (control & WDE) this.#cpu.data[WDTCSR]! &= ~WDIE;
      this.#restart();
    } else this.#onReset();
  };
}
