import type { EventCpu, Interrupt } from './event-cpu.ts';

const UCSR0A = 0xc0;
const UCSR0B = 0xc1;
const UCSR0C = 0xc2;
const UBRR0L = 0xc4;
const UBRR0H = 0xc5;
const UDR0 = 0xc6;
const RXC0 = 0x80;
const TXC0 = 0x40;
const UDRE0 = 0x20;
const DOR0 = 0x08;
const U2X0 = 0x02;
const MPCM0 = 0x01;
const RXEN0 = 0x10;
const TXEN0 = 0x08;
/**
 * Two bytes of FIFO and the shift register that holds a third (data sheet, 'USART0 - Data
 * reception').
 */
const receiveDepth = 3;
const bitsPerCharacter = 10;

const interrupt = (address: number, flagMask: number, constant: boolean): Interrupt => ({
  address,
  flagRegister: UCSR0A,
  flagMask,
  enableRegister: UCSR0B,
  enableMask: flagMask,
  constant,
});

/**
 * Bytes on their way from the host, kept by the machine so that they outlive a reset of the chip.
 */
export interface LineIn {
  /** Returns the next byte whose time has come, or -1. */
  take(): number;
}

/**
 * USART0 of the chip: double-buffered transmitter, three-deep receiver with overrun, 8N1.
 *
 * A byte is given to `onByte` when its stop bit ends, one character time after it left the holding
 * register.
 */
export class Usart {
  /** Bytes lost because the firmware read too late (sets DOR0). */
  overruns = 0;
  readonly #cpu: EventCpu;
  readonly #line: LineIn;
  readonly #onByte: (byte: number) => void;
  readonly #receiveComplete = interrupt(0x24, RXC0, true);
  readonly #dataEmpty = interrupt(0x26, UDRE0, true);
  readonly #transmitComplete = interrupt(0x28, TXC0, false);
  #shiftBusy = false;
  #shifting = 0;
  #shiftDue = 0;
  #held = -1;
  readonly #received: number[] = [];
  #receiving = -1;
  #receiveDue = 0;
  #lastRead = 0;

  constructor(cpu: EventCpu, line: LineIn, onByte: (byte: number) => void) {
    this.#cpu = cpu;
    this.#line = line;
    this.#onByte = onByte;
    const data = cpu.data;
    data[UCSR0A] = UDRE0;
    data[UCSR0C] = 0x06;
    cpu.writeHooks[UCSR0A] = (value) => {
      data[UCSR0A] = (data[UCSR0A]! & ~(U2X0 | MPCM0)) | (value & (U2X0 | MPCM0));
      if (value & TXC0) cpu.clearInterrupt(this.#transmitComplete);
      return true;
    };
    cpu.writeHooks[UCSR0B] = (value) => {
      data[UCSR0B] = value;
      for (const each of [this.#receiveComplete, this.#dataEmpty, this.#transmitComplete])
        cpu.updateInterruptEnable(each, value);
      if (value & RXEN0) this.pump();
      else this.#flush();
      return true;
    };
    cpu.readHooks[UDR0] = () => this.#readByte();
    cpu.writeHooks[UDR0] = (value) => {
      this.#writeByte(value);
      return true;
    };
  }

  /** Cycles that one character takes on the line at the rate that the firmware set. */
  get cyclesPerCharacter(): number {
    const data = this.#cpu.data;
    const ubrr = ((data[UBRR0H]! & 0x0f) << 8) | data[UBRR0L]!;
    return (ubrr + 1) * (data[UCSR0A]! & U2X0 ? 8 : 16) * bitsPerCharacter;
  }

  /** Starts receiving if a byte waits on the line and the receiver is on and free. */
  pump(late = 0): void {
    if (this.#receiving >= 0 || !(this.#cpu.data[UCSR0B]! & RXEN0)) return;
    const byte = this.#line.take();
    if (byte < 0) return;
    this.#receiving = byte;
    const cycles = this.cyclesPerCharacter - late;
    this.#receiveDue = this.#cpu.cycles + cycles;
    this.#cpu.addClockEvent(this.#endReceive, cycles);
  }

  readonly #endReceive = (): void => {
    if (this.#received.length < receiveDepth) this.#received.push(this.#receiving);
    else {
      this.overruns++;
      this.#cpu.data[UCSR0A]! |= DOR0;
    }
    this.#receiving = -1;
    this.#cpu.setInterruptFlag(this.#receiveComplete);
    this.pump(this.#cpu.cycles - this.#receiveDue);
  };

  #readByte(): number {
    const byte = this.#received.shift() ?? this.#lastRead;
    this.#lastRead = byte;
    if (this.#received.length === 0) this.#cpu.clearInterrupt(this.#receiveComplete);
    this.#cpu.data[UCSR0A]! &= ~DOR0;
    return byte;
  }

  #flush(): void {
    this.#received.length = 0;
    this.#cpu.clearInterrupt(this.#receiveComplete);
  }

  #writeByte(byte: number): void {
    if (!(this.#cpu.data[UCSR0B]! & TXEN0)) return;
    this.#cpu.clearInterrupt(this.#transmitComplete);
    if (!this.#shiftBusy) this.#startShift(byte, 0);
    else {
      this.#held = byte;
      this.#cpu.clearInterrupt(this.#dataEmpty);
    }
  }

  #startShift(byte: number, late: number): void {
    this.#shiftBusy = true;
    this.#shifting = byte;
    const cycles = this.cyclesPerCharacter - late;
    this.#shiftDue = this.#cpu.cycles + cycles;
    this.#cpu.addClockEvent(this.#endShift, cycles);
  }

  readonly #endShift = (): void => {
    this.#onByte(this.#shifting);
    if (this.#held >= 0) {
      const byte = this.#held;
      this.#held = -1;
      this.#startShift(byte, this.#cpu.cycles - this.#shiftDue);
      this.#cpu.setInterruptFlag(this.#dataEmpty);
    } else {
      this.#shiftBusy = false;
      this.#cpu.setInterruptFlag(this.#transmitComplete);
    }
  };
}
