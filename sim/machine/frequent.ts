import type { CPU } from 'avr8js';

/** What is no frequent instruction: the library runs it. */
export const other = 0;

/** Instructions that the probe's firmware runs often and that touch no flag. */
const frequent = {
  pop: 1,
  push: 2,
  lds: 3,
  sts: 4,
  ldi: 5,
  in: 6,
  out: 7,
  rjmp: 8,
  mov: 9,
  movw: 10,
} as const;

const stackLow = 0x5d;
const stackHigh = 0x5e;
const ioBase = 0x20;

/**
 * Returns which frequent instruction an opcode is (AVR Instruction Set Manual, the encoding of
 * each).
 */
export function frequentOf(opcode: number): number {
  switch (opcode & 0xfe0f) {
    case 0x900f:
      return frequent.pop;
    case 0x920f:
      return frequent.push;
    case 0x9000:
      return frequent.lds;
    case 0x9200:
      return frequent.sts;
  }
  switch (opcode & 0xf800) {
    case 0xb000:
      return frequent.in;
    case 0xb800:
      return frequent.out;
  }
  if ((opcode & 0xf000) === 0xe000) return frequent.ldi;
  if ((opcode & 0xf000) === 0xc000) return frequent.rjmp;
  if ((opcode & 0xfc00) === 0x2c00) return frequent.mov;
  if ((opcode & 0xff00) === 0x0100) return frequent.movw;
  return other;
}

/**
 * Runs one frequent instruction, as the library's own interpreter does.
 *
 * The library looks for an opcode in one long row of comparisons, in the order of the alphabet.
 * Half of what the firmware runs stands far down that row: saving registers at every interrupt,
 * above all.
 */
export function runFrequent(cpu: CPU, kind: number, opcode: number): void {
  const { data, progMem } = cpu;
  const register = (opcode & 0x1f0) >> 4;
  switch (kind) {
    case frequent.pop: {
      const at = (data[stackLow]! | (data[stackHigh]! << 8)) + 1;
      data[stackLow] = at;
      data[stackHigh] = at >> 8;
      data[register] = data[at]!;
      cpu.cycles++;
      break;
    }
    case frequent.push: {
      const at = data[stackLow]! | (data[stackHigh]! << 8);
      data[at] = data[register]!;
      data[stackLow] = at - 1;
      data[stackHigh] = (at - 1) >> 8;
      cpu.cycles++;
      break;
    }
    // a hook sees the cycle before the instruction is over: counted in the library's order
    case frequent.lds:
      cpu.cycles++;
      data[register] = cpu.readData(progMem[cpu.pc + 1]!);
      cpu.pc++;
      break;
    case frequent.sts:
      cpu.writeData(progMem[cpu.pc + 1]!, data[register]!);
      cpu.pc++;
      cpu.cycles++;
      break;
    case frequent.ldi:
      data[((opcode & 0xf0) >> 4) + 16] = (opcode & 0xf) | ((opcode & 0xf00) >> 4);
      break;
    case frequent.in:
      data[register] = cpu.readData(((opcode & 0xf) | ((opcode & 0x600) >> 5)) + ioBase);
      break;
    case frequent.out:
      cpu.writeData(((opcode & 0xf) | ((opcode & 0x600) >> 5)) + ioBase, data[register]!);
      break;
    case frequent.rjmp:
      cpu.pc += (opcode & 0x7ff) - (opcode & 0x800);
      cpu.cycles++;
      break;
    case frequent.mov:
      data[register] = data[(opcode & 0xf) | ((opcode & 0x200) >> 5)]!;
      break;
    case frequent.movw: {
      const from = 2 * (opcode & 0xf);
      const to = 2 * ((opcode & 0xf0) >> 4);
      data[to] = data[from]!;
      data[to + 1] = data[from + 1]!;
      break;
    }
  }
  cpu.pc = (cpu.pc + 1) % progMem.length;
  cpu.cycles++;
}
