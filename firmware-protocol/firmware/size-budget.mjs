/**
 * Prints what a firmware image uses of flash, static RAM and stack, and ends with exit code 1 above a budget.
 * Usage: node size-budget.mjs IMAGE.elf FLASH_BYTES RAM_BYTES STACK_BYTES   (needs avr-size and avr-objdump on the path)
 *
 * Stack: the deepest call chain from `main` plus the deepest one from any interrupt (interrupts don't nest), read off the
 * disassembly. A call through a pointer, recursion or a frame of unknown size is an error, as the figure would be a guess.
 */
import { execFileSync } from 'node:child_process';

const RETURN_ADDRESS_BYTES = 2;
const [elf, flashBudget, ramBudget, stackBudget] = process.argv.slice(2);
const run = (tool, ...args) => execFileSync(tool, args, { encoding: 'utf8', maxBuffer: 16e6 });

/** Returns section sizes in bytes by name. */
function sections() {
  const sizes = {};
  for (const [, name, size] of run('avr-size', '-A', elf).matchAll(/^(\.\w+)\s+(\d+)/gm)) sizes[name] = Number(size);
  return sizes;
}

/** Returns for each function its own stack bytes (pushes and frame) and the functions that it calls or jumps to. */
function functions() {
  const found = new Map();
  let current = null;
  let frameLow = null;
  for (const line of run('avr-objdump', '-d', '--no-show-raw-insn', elf).split('\n')) {
    const head = /^[0-9a-f]+ <([^>]+)>:/.exec(line);
    if (head) {
      current = { name: head[1], own: 0, calls: new Set(), jumps: new Set() };
      found.set(head[1], current);
      continue;
    }
    const instruction = /^\s*[0-9a-f]+:\s+(\w+)\s*([^;]*)(?:;\s*0x[0-9a-f]+\s*<([^>+]+)(\+[^>]*)?>)?/.exec(line);
    if (!current || !instruction) continue;
    const [, op, operands, target, inside] = instruction;
    if (op === 'push') current.own += 1;
    if (op === 'icall' || op === 'eicall') throw new Error(`${current.name}: a call through a pointer`);
    if ((op === 'rcall' || op === 'call') && /\.\+0\b/.test(operands)) current.own += 2; // room for a frame
    else if (op === 'rcall' || op === 'call') current.calls.add(target);
    if ((op === 'jmp' || op === 'rjmp') && target && target !== current.name && !inside) current.jumps.add(target);
    if (op === 'sbiw' && operands.startsWith('r28')) frameLow = Number.parseInt(operands.split(',')[1], 16);
    if (op === 'subi' && operands.startsWith('r28')) frameLow = Number.parseInt(operands.split(',')[1], 16);
    if (op === 'out' && operands.startsWith('0x3d') && frameLow !== null) {
      current.own += frameLow; // SP = Y - frame; set again in the epilogue with no subtraction before it
      frameLow = null;
    }
    if (op === 'ret' || op === 'reti') frameLow = null;
  }
  return found;
}

function depth(all, name, seen = []) {
  const f = all.get(name);
  if (!f) return { bytes: 0, path: [] };
  if (seen.includes(name)) throw new Error(`recursion: ${[...seen, name].join(' > ')}`);
  let deepest = { bytes: 0, path: [] };
  const follow = (callee, extra) => {
    const below = depth(all, callee, [...seen, name]);
    if (below.bytes + extra > deepest.bytes) deepest = { bytes: below.bytes + extra, path: below.path };
  };
  for (const callee of f.calls) follow(callee, RETURN_ADDRESS_BYTES);
  for (const callee of f.jumps) if (callee !== '__bad_interrupt' && callee !== '_exit') follow(callee, 0);
  return { bytes: f.own + deepest.bytes, path: [name, ...deepest.path] };
}

const size = sections();
const flash = size['.text'] + (size['.data'] ?? 0);
const ram = (size['.data'] ?? 0) + (size['.bss'] ?? 0) + (size['.noinit'] ?? 0);
const all = functions();
const inMain = depth(all, 'main');
const inInterrupt = [...all.keys()]
  .filter((name) => /^__vector_\d+$/.test(name))
  .map((name) => depth(all, name))
  .reduce((a, b) => (b.bytes > a.bytes ? b : a));
const stack = RETURN_ADDRESS_BYTES + inMain.bytes + RETURN_ADDRESS_BYTES + inInterrupt.bytes;

let over = false;
const row = (what, bytes, budget, note = '') => {
  over ||= bytes > Number(budget);
  console.log(`${what.padEnd(12)}${String(bytes).padStart(6)} B of ${budget} B${bytes > Number(budget) ? '  OVER BUDGET' : ''}${note}`);
};
row('flash', flash, flashBudget);
row('static RAM', ram, ramBudget);
row('stack', stack, stackBudget, `  (main ${inMain.bytes}: ${inMain.path.join(' > ')}; interrupt ${inInterrupt.bytes}: ${inInterrupt.path.join(' > ')})`);
if (over) process.exitCode = 1;
