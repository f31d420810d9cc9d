// The instructions that the emulator runs by itself do what the library's interpreter does with them.
import { avrInstruction, CPU } from 'avr8js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { frequentOf, other, runFrequent } from '../../../sim/machine/frequent.ts';

/** Opcodes of each instruction: its fixed bits, and the bits that are free (AVR Instruction Set Manual). */
const encodings: Record<string, [fixed: number, free: number]> = {
  POP: [0x900f, 0x01f0],
  PUSH: [0x920f, 0x01f0],
  LDS: [0x9000, 0x01f0],
  STS: [0x9200, 0x01f0],
  LDI: [0xe000, 0x0fff],
  IN: [0xb000, 0x07ff],
  OUT: [0xb800, 0x07ff],
  RJMP: [0xc000, 0x0fff],
  MOV: [0x2c00, 0x03ff],
  MOVW: [0x0100, 0x00ff],
};

const sramBytes = 2048;
const words = 8192;
const spLow = 0x5d;

interface Setting {
  opcode: number;
  operand: number;
  pc: number;
  sp: number;
  memory: Uint8Array;
}

/** A core before the instruction, with one register of the chip that is read and written through a hook. */
function coreOf({ opcode, operand, pc, sp, memory }: Setting): { cpu: CPU; seen: unknown[] } {
  const program = new Uint16Array(words);
  program[pc] = opcode;
  program[(pc + 1) % words] = operand;
  const cpu = new CPU(program, sramBytes);
  for (let k = 0; k < cpu.data.length; k++) cpu.data[k] = memory[k % memory.length]!;
  cpu.dataView.setUint16(spLow, sp, true);
  cpu.pc = pc;
  const seen: unknown[] = [];
  for (const address of [0x2b, 0xc6]) {
    cpu.readHooks[address] = () => {
      seen.push(['read', address, cpu.cycles]);
      return 0x5a;
    };
    cpu.writeHooks[address] = (value) => {
      seen.push(['write', address, value, cpu.cycles]);
      return value % 2 === 0;
    };
  }
  return { cpu, seen };
}

const stateOf = ({ cpu, seen }: { cpu: CPU; seen: unknown[] }) => ({
  pc: cpu.pc,
  cycles: cpu.cycles,
  data: Buffer.from(cpu.data).toString('hex'),
  seen,
});

describe.each(Object.entries(encodings))('%s', (_, [fixed, free]) => {
  const setting: fc.Arbitrary<Setting> = fc.record({
    opcode: fc.nat(0xffff).map((bits) => fixed | (bits & free)),
    operand: fc.oneof(fc.constantFrom(0x2b, 0xc6), fc.integer({ min: 0, max: sramBytes + 0xff })),
    // a jump back from the first words leaves the program in the library too; the firmware holds none
    pc: fc.integer({ min: 2048, max: words - 2050 }),
    sp: fc.integer({ min: 0x102, max: sramBytes + 0xfd }),
    memory: fc.uint8Array({ minLength: 97, maxLength: 97 }),
  });

  test('leaves registers, memory, program counter, cycles and hooks as the library does', () => {
    fc.assert(
      fc.property(setting, (one) => {
        const kind = frequentOf(one.opcode);
        expect(kind).not.toBe(other);
        const theirs = coreOf(one);
        avrInstruction(theirs.cpu);
        const ours = coreOf(one);
        runFrequent(ours.cpu, kind, one.opcode);
        expect(stateOf(ours)).toEqual(stateOf(theirs));
      }),
      { numRuns: 200 },
    );
  });
});

test('no other opcode is taken for one of them', () => {
  const isOne = (opcode: number) =>
    Object.values(encodings).some(([fixed, free]) => (opcode & ~free & 0xffff) === fixed);
  const opcodes = Array.from({ length: 0x10000 }, (_, opcode) => opcode);
  expect(opcodes.filter((opcode) => (frequentOf(opcode) !== other) !== isOne(opcode))).toEqual([]);
});
