import type { EventCpu, Interrupt } from './event-cpu.ts';

const ADCL = 0x78;
const ADCH = 0x79;
const ADCSRA = 0x7a;
const ADCSRB = 0x7b;
const ADMUX = 0x7c;
const ADEN = 0x80;
const ADSC = 0x40;
const ADATE = 0x20;
const ADIF = 0x10;
const ADIE = 0x08;
const ADLAR = 0x20;
const channelMask = 0x0f;
/** Conversion times in ADC clocks (data sheet, 'ADC conversion time'). */
const firstConversionClocks = 25;
const conversionClocks = 13;
const prescalers = [2, 2, 4, 8, 16, 32, 64, 128] as const;

/**
 * Gives the code (0..1023) that a conversion of `channel` starting at `cycles` yields;
 * `adcClockDivider` is the prescaler in force (a faster converter clock makes a worse conversion).
 */
export type Convert = (channel: number, cycles: number, adcClockDivider: number) => number;

/**
 * Analog-to-digital converter: single conversions and free running, interrupt on completion.
 *
 * The channel is latched when a conversion starts. Free running starts the next conversion as the
 * last one ends, so a channel written in the interrupt takes effect on the conversion after the one
 * under way, as on the chip.
 */
export class Adc {
  readonly #cpu: EventCpu;
  readonly #convert: Convert;
  readonly #complete: Interrupt = {
    address: 0x2a,
    flagRegister: ADCSRA,
    flagMask: ADIF,
    enableRegister: ADCSRA,
    enableMask: ADIE,
  };
  #converting = false;
  #first = true;
  #code = 0;
  #due = 0;

  constructor(cpu: EventCpu, convert: Convert) {
    this.#cpu = cpu;
    this.#convert = convert;
    cpu.writeHooks[ADCSRA] = (value, old) => {
      this.#writeControl(value, old);
      return true;
    };
  }

  #writeControl(value: number, old: number): void {
    const cpu = this.#cpu;
    let next = value & ~ADIF;
    if (value & ADIF) cpu.clearInterrupt(this.#complete);
    else next |= old & ADIF;
    if (!(value & ADEN)) {
      if (this.#converting) cpu.clearClockEvent(this.#end);
      this.#converting = false;
      this.#first = true;
      next &= ~ADSC;
    } else if (this.#converting) next |= ADSC;
    cpu.data[ADCSRA] = next;
    cpu.updateInterruptEnable(this.#complete, next);
    if (next & ADEN && next & ADSC && !this.#converting) this.#start(0);
  }

  #start(late: number): void {
    const cpu = this.#cpu;
    const divider = prescalers[cpu.data[ADCSRA]! & 7]!;
    const cycles = (this.#first ? firstConversionClocks : conversionClocks) * divider - late;
    this.#first = false;
    this.#converting = true;
    this.#code = this.#convert(cpu.data[ADMUX]! & channelMask, cpu.cycles - late, divider);
    this.#due = cpu.cycles + cycles;
    cpu.addClockEvent(this.#end, cycles);
  }

  readonly #end = (): void => {
    const cpu = this.#cpu;
    const data = cpu.data;
    const result = data[ADMUX]! & ADLAR ? this.#code << 6 : this.#code;
    data[ADCL] = result & 0xff;
    data[ADCH] = result >> 8;
    this.#converting = false;
    const freeRunning = data[ADCSRA]! & ADATE && (data[ADCSRB]! & 7) === 0;
    if (!freeRunning) data[ADCSRA]! &= ~ADSC;
    cpu.setInterruptFlag(this.#complete);
    if (freeRunning) this.#start(cpu.cycles - this.#due);
  };
}
