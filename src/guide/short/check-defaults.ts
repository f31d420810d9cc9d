import { solveCircuit } from '../circuit/circuit.ts';
import { relativeSpread } from '../circuit/relative-spread.ts';
import type { Guide } from '../types.ts';
import type { ShortGuide } from './short-schema.ts';
import { ohmLimitsText, voltLimitsText } from './usual-limits.ts';

type ShortCheck = ShortGuide['checks'][number];
type Named = (id: string) => string;

/**
 * Returns the checks of a short guide with title, prompt and limits where they have none: made from
 * the table, and from what its circuit says of a healthy device.
 *
 * @param circuit null while it is not known; then limits are left out
 */
export function withCheckDefaults(short: ShortGuide, circuit: Guide | null): Record<string, unknown>[] {
  const where: Named = (pad) => {
    const told = short.pads[pad];
    return told === undefined ? pad : typeof told === 'string' ? told : told.where;
  };
  const key: Named = (id) => short.keys.find((one) => one.id === id)?.name ?? `key ${id}`;
  return short.checks.map((check) => {
    const told = { kind: 'resistance', ...check };
    return {
      ...told,
      ...titleAndPrompt(told, where, key),
      ...(circuit === null ? {} : limitsOf(told, circuit)),
      ...check,
    };
  });
}

function titleAndPrompt(
  check: ShortCheck & { kind?: unknown },
  where: Named,
  key: Named,
): { title?: string; prompt?: string; question?: string } {
  const [a, b] = texts(check.pads);
  if (a === undefined || b === undefined) return {};
  const held = texts(check.pressed).map(key);
  const hold = held.length === 0 ? '' : `Hold down the ${held.join(' and the ')}. `;
  const touch = `Touch ${where(a)}, and ${where(b)}.`;
  const title = (what: string): string => `${a} to ${b}${what}${held.length === 0 ? '' : `, ${held.join(', ')} held`}`;
  switch (check.kind) {
    case 'presses': {
      const pressed = key(String(check.key));
      return {
        title: `${a} to ${b}, presses of the ${pressed}`,
        prompt: `${touch} Press the ${pressed} once at each beep.`,
      };
    }
    case 'dry-normal':
      return { title: title(', dry and then normal'), prompt: `${hold}${touch} Stay on until both levels are taken.` };
    case 'steady':
      return { title: title(', while you flex'), prompt: `${hold}${touch} Stay on, and press and tap along the way.` };
    case 'voltage':
      return { title: title(', voltage'), prompt: `${hold}With the device on: ${touch} Tip A goes first.` };
    case 'bridge':
      return {
        title: title(', press imitated'),
        prompt: `${hold}With the device on: ${touch} Tip A goes first. Watch the device.`,
        question: 'Did the device respond?',
      };
    default:
      return { title: title(''), prompt: `${hold}${touch}` };
  }
}

function limitsOf(check: ShortCheck, guide: Guide): { limits?: string; idle?: string } {
  const [a, b] = texts(check.pads);
  const known = (pad: string | undefined): boolean => guide.pads.some(({ id }) => id === pad);
  if (a === undefined || b === undefined || !known(a) || !known(b)) return {};
  const pads: [string, string] = [a, b];
  const isOn = check.kind === 'voltage' || check.kind === 'bridge';
  const circuit = solveCircuit(guide, {
    power: isOn && check.power !== 'off' ? 'on' : 'off',
    pressed: check.kind === 'presses' ? [String(check.key)] : texts(check.pressed),
    faults: [],
    level: check.level === 'dry' ? 'dry' : 'normal',
    access: typeof check.access === 'string' ? check.access : undefined,
  });
  if (isOn) {
    const limits = voltLimitsText(circuit.thevenin(...pads).openVolt);
    return check.kind === 'bridge' ? { idle: limits } : { limits };
  }
  if (check.kind === 'look') return {};
  return { limits: ohmLimitsText(circuit.resistanceOhm(...pads), relativeSpread(guide, circuit, pads)) };
}

function texts(value: unknown): string[] {
  return Array.isArray(value) ? value.map(String) : [];
}
