import { EEPROMMemoryBackend } from 'avr8js';
import { Agenda } from './agenda.ts';
import { Chip, type ChipLines, type ChipMemory, type PortName, type ResetCause, resetFlag } from './chip.ts';
import { sramBytes } from './event-cpu.ts';
import { cyclesPerUs } from './time.ts';

/** EEPROM bytes of the ATmega328P. */
export const eepromBytes = 1024;
/**
 * Time from the end of a reset to the first instruction (data sheet, start-up times, slowly rising
 * power).
 */
const startUpUs = 65_000;

/** What stands around the chip on the board. */
export interface Board {
  /** Returns the code (0..1023) of a conversion of `channel` that starts at `tUs`. */
  convert(channel: number, tUs: number, adcClockDivider: number): number;
  /**
   * Called with the pins that the chip drives high, at every change and with zeros when a reset
   * begins.
   */
  outputs(port: PortName, driven: number, tUs: number): void;
  /** Called with a byte from the chip at the end of its stop bit. */
  byte(byte: number, tUs: number): void;
  /** Called with the tone's frequency in Hz, 0 when it ends. */
  tone(frequencyHz: number, tUs: number): void;
}

/** Options of {@link Machine}. */
export interface MachineOptions {
  readonly program: Uint16Array<ArrayBuffer>;
  readonly board: Board;
  /** Contents of the EEPROM at first, 1024 bytes. */
  readonly eeprom: Uint8Array;
  /** Contents of the RAM at power-on, by index: undefined on a real chip. */
  readonly ramNoise: (index: number) => number;
}

/**
 * An ATmega328P at 16 MHz on its board, in probe time: runs as far as it's told, as fast as it can.
 *
 * Which bytes it sends when depends on the image, the board and what was written at which time, not
 * on how the run is cut into slices.
 */
export class Machine {
  readonly #agenda = new Agenda();
  readonly program: Uint16Array<ArrayBuffer>;
  readonly eeprom: EEPROMMemoryBackend;
  /** Resets so far by cause, power-on included. */
  readonly resets: Record<ResetCause, number> = { powerOn: 0, external: 0, brownOut: 0, watchdog: 0 };
  /** Bytes lost in receivers of the chip. */
  #lostBefore = 0;
  readonly #board: Board;
  readonly #ramNoise: (index: number) => number;
  #chip: Chip;
  /**
   * Memory of the chip that starts when the reset under way ends at cycle {@link heldUntil}; null
   * while one runs.
   */
  #next: ChipMemory | null = null;
  #heldUntil = 0;
  readonly #levels: Record<PortName, number> = { b: 0, c: 0, d: 0 };
  #lineIn: number[] = [];
  #lineHead = 0;
  #watchdogReset = false;

  constructor(options: MachineOptions) {
    this.program = options.program;
    this.#board = options.board;
    this.#ramNoise = options.ramNoise;
    this.eeprom = new EEPROMMemoryBackend(eepromBytes);
    this.eeprom.memory.set(options.eeprom.subarray(0, eepromBytes));
    this.#chip = this.#makeChip(this.#blankMemory(), 0);
    this.#hold(0, 'powerOn');
  }

  /** Probe time since the machine was made, in microseconds; it goes on over resets. */
  get nowUs(): number {
    return this.#chip.cpu.cycles / cyclesPerUs;
  }

  /** Program counter, as a word address. */
  get programCounter(): number {
    return this.#chip.cpu.pc;
  }

  /** Cycles that the chip slept since its last reset. */
  get sleptCycles(): number {
    return this.#chip.cpu.sleptCycles;
  }

  /** Bytes that the chip's receiver lost because the firmware read too late. */
  get receiverOverruns(): number {
    return this.#lostBefore + this.#chip.usart.overruns;
  }

  /** Bytes written that have not yet come in at the chip. */
  get pendingIn(): number {
    return this.#lineIn.length - this.#lineHead;
  }

  /** Returns the byte at an address of the data space (registers, RAM), for tests. */
  peek(address: number): number {
    return this.#chip.cpu.data[address] ?? 0;
  }

  /**
   * Puts bytes on the line to the chip, back to back from now on; a chip in reset doesn't hear
   * them.
   */
  write(bytes: Uint8Array): void {
    if (this.#next !== null) return;
    for (const byte of bytes) this.#lineIn.push(byte);
    this.#chip.usart.pump();
  }

  /** Drives an input pin from outside. */
  setPin(port: PortName, bit: number, high: boolean): void {
    const before = this.#levels[port];
    const after = high ? before | (1 << bit) : before & ~(1 << bit);
    if (after === before) return;
    this.#levels[port] = after;
    this.#chip.setPin(port, bit, high);
  }

  /**
   * Has `run` called at `tUs` of probe time (at once if that has passed); returns a function that
   * takes it back.
   */
  at(tUs: number, run: () => void): () => void {
    const takeBack = this.#agenda.put(tUs, run);
    this.#chip.cpu.endRunAt(Math.ceil(tUs * cyclesPerUs));
    return takeBack;
  }

  /** Runs up to `tUs` of probe time; a time in the past does nothing. */
  runUntilUs(tUs: number): void {
    const target = Math.round(tUs * cyclesPerUs);
    while (this.#chip.cpu.cycles < target) {
      const cycles = this.#chip.cpu.cycles;
      this.#agenda.runDue(cycles / cyclesPerUs);
      let next = Math.min(target, Math.ceil(this.#agenda.nextAt * cyclesPerUs));
      if (next <= cycles) next = cycles + 1;
      if (this.#next === null) this.#chip.cpu.runUntil(next);
      else if (cycles < this.#heldUntil) this.#chip.cpu.cycles = Math.min(next, this.#heldUntil);
      else this.#release();
      if (this.#watchdogReset) {
        this.#watchdogReset = false;
        this.reset('watchdog');
      }
    }
    this.#agenda.runDue(this.nowUs);
  }

  /** Resets the chip as `cause` does; it starts again `holdUs` plus the start-up time later. */
  reset(cause: ResetCause, holdUs = 0): void {
    this.#hold(holdUs, cause);
  }

  #hold(holdUs: number, cause: ResetCause): void {
    const { cpu, usart } = this.#chip;
    this.resets[cause]++;
    this.#lostBefore += usart.overruns;
    this.#lineIn = [];
    this.#lineHead = 0;
    this.#next = cause === 'powerOn' ? this.#blankMemory() : this.#chip.after(cause);
    this.#heldUntil = Math.ceil(cpu.cycles + (holdUs + startUpUs) * cyclesPerUs);
    cpu.stopped = true;
    for (const port of ['b', 'c', 'd'] as const) this.#board.outputs(port, 0, this.nowUs);
    this.#board.tone(0, this.nowUs);
  }

  #release(): void {
    if (this.#next === null) return;
    this.#chip = this.#makeChip(this.#next, this.#chip.cpu.cycles);
    this.#next = null;
  }

  #makeChip(memory: ChipMemory, cycles: number): Chip {
    const chip = new Chip(memory, this.#lines(), cycles);
    for (const port of ['b', 'c', 'd'] as const)
      for (let bit = 0; bit < 8; bit++) chip.setPin(port, bit, (this.#levels[port] & (1 << bit)) !== 0);
    return chip;
  }

  #blankMemory(): ChipMemory {
    const ram = Uint8Array.from({ length: sramBytes }, (_, index) => this.#ramNoise(index));
    return { program: this.program, eeprom: this.eeprom, ram, resetFlags: resetFlag.powerOn };
  }

  #lines(): ChipLines {
    const board = this.#board;
    return {
      line: { take: () => this.#takeFromLine() },
      convert: (channel, cycles, divider) => board.convert(channel, cycles / cyclesPerUs, divider),
      onByte: (byte) => board.byte(byte, this.nowUs),
      onTone: (frequencyHz) => board.tone(frequencyHz, this.nowUs),
      onOutputs: (port, driven) => board.outputs(port, driven, this.nowUs),
      onWatchdogReset: () => {
        this.#watchdogReset = true;
      },
    };
  }

  #takeFromLine(): number {
    const byte = this.#lineIn[this.#lineHead];
    if (byte === undefined) return -1;
    this.#lineHead++;
    if (this.#lineHead > 4096) {
      this.#lineIn.splice(0, this.#lineHead);
      this.#lineHead = 0;
    }
    return byte;
  }
}
