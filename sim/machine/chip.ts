import { AVREEPROM, AVRIOPort, type EEPROMMemoryBackend, portBConfig, portCConfig, portDConfig } from 'avr8js';
import { Adc, type Convert } from './adc.ts';
import { EventCpu } from './event-cpu.ts';
import { Timer1 } from './timer1.ts';
import { ToneTimer } from './tone-timer.ts';
import { type LineIn, Usart } from './usart.ts';
import { Watchdog } from './watchdog.ts';

/** Bits of MCUSR (data sheet, 'MCU status register'). */
export const resetFlag = { powerOn: 0x01, external: 0x02, brownOut: 0x04, watchdog: 0x08 } as const;
export type ResetCause = keyof typeof resetFlag;

const MCUSR = 0x54;
const firstRamByte = 0x100;
const portConfigs = { b: portBConfig, c: portCConfig, d: portDConfig } as const;
export type PortName = keyof typeof portConfigs;

/** What the chip is connected to. */
export interface ChipLines {
  readonly line: LineIn;
  readonly convert: Convert;
  onByte(byte: number): void;
  onTone(frequencyHz: number): void;
  onOutputs(port: PortName, driven: number): void;
  onWatchdogReset(): void;
}

/** What one life of the chip hands on to the next across a reset. */
export interface ChipMemory {
  readonly program: Uint16Array<ArrayBuffer>;
  readonly eeprom: EEPROMMemoryBackend;
  readonly ram: Uint8Array;
  readonly resetFlags: number;
}

/**
 * One life of an ATmega328P from a reset to the next one: the core with its peripherals, all
 * registers as after reset.
 *
 * A reset is a new chip over the old memories. So no register, event or half-done transfer can leak
 * from one life into the next.
 */
export class Chip {
  readonly cpu: EventCpu;
  readonly usart: Usart;
  readonly #ports: Record<PortName, AVRIOPort>;
  readonly #memory: ChipMemory;

  constructor(memory: ChipMemory, lines: ChipLines, cycles: number) {
    this.#memory = memory;
    const cpu = new EventCpu(memory.program);
    this.cpu = cpu;
    cpu.cycles = cycles;
    cpu.data.set(memory.ram, firstRamByte);
    cpu.data[MCUSR] = memory.resetFlags;
    const port = (name: PortName): AVRIOPort => {
      const config = portConfigs[name];
      const made = new AVRIOPort(cpu, config);
      let before = 0;
      made.addListener(() => {
        const driven = cpu.data[config.PORT]! & cpu.data[config.DDR]!;
        if (driven === before) return;
        before = driven;
        lines.onOutputs(name, driven);
      });
      return made;
    };
    this.#ports = { b: port('b'), c: port('c'), d: port('d') };
    this.usart = new Usart(cpu, lines.line, (byte) => lines.onByte(byte));
    new Adc(cpu, lines.convert);
    new Timer1(cpu);
    new ToneTimer(cpu, (frequencyHz) => lines.onTone(frequencyHz));
    new AVREEPROM(cpu, memory.eeprom);
    new Watchdog(cpu, () => {
      cpu.stopped = true;
      lines.onWatchdogReset();
    });
  }

  /** Drives an input pin from outside. */
  setPin(port: PortName, bit: number, high: boolean): void {
    this.#ports[port].setPin(bit, high);
  }

  /**
   * Returns what survives a reset for `cause`: program, EEPROM, and the RAM unless the supply was
   * off.
   */
  after(cause: ResetCause): ChipMemory {
    return {
      program: this.#memory.program,
      eeprom: this.#memory.eeprom,
      ram: this.cpu.data.slice(firstRamByte),
      resetFlags: (this.cpu.data[MCUSR]! & 0x0f) | resetFlag[cause],
    };
  }
}
