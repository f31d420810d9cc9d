import type { EventCpu } from './event-cpu.ts';
import { cyclesPerUs } from './time.ts';

const TCCR0A = 0x44;
const TCCR0B = 0x45;
const OCR0A = 0x47;
const dividers = [0, 1, 8, 64, 256, 1024, 0, 0] as const;
const toggleOnMatch = 0x40;

/**
 * Registers of timer 0 as far as they make the probe's tone: the pin toggles at each match while
 * the clock runs.
 */
export class ToneTimer {
  #frequencyHz = 0;

  /** @param onTone called with the frequency in Hz (0: silent) whenever it changes */
  constructor(cpu: EventCpu, onTone: (frequencyHz: number) => void) {
    const { data, writeHooks } = cpu;
    for (const address of [TCCR0A, TCCR0B, OCR0A])
      writeHooks[address] = (value) => {
        data[address] = value;
        const divider = data[TCCR0A]! & toggleOnMatch ? dividers[data[TCCR0B]! & 7]! : 0;
        const next = divider === 0 ? 0 : (cyclesPerUs * 1e6) / (2 * divider * (data[OCR0A]! + 1));
        if (next !== this.#frequencyHz) {
          this.#frequencyHz = next;
          onTone(next);
        }
        return true;
      };
  }
}
